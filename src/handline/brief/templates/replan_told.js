// Passings and today's weather as they are told, and what is wrong with them: passed_told.py and today_typed.py, on the
// way. A problem has what, read, allowed, mend and the field it belongs to: "at", "time", "delay", "storm",
// "stormFrom" or "rock".

const problemOf = (key, what, read = "", allowed = "", mend = "") => ({ key, what, read, allowed, mend });

// What a problem says in one go.
function problemWords({ what, read, allowed, mend }) {
  const parts = [`${what[0].toUpperCase()}${what.slice(1)}${read ? `: ${read}` : ""}.`];
  if (allowed) parts.push(`Allowed: ${allowed}.`);
  if (mend) parts.push(`To mend: ${mend}.`);
  return parts.join(" ");
}

// The name of a passing, with its way where the place is passed more than once.
function named(passings, passing) {
  const { name, way } = passings[passing];
  return passings.filter((other) => other.name === name).length > 1 ? `${name} (${way})` : name;
}

// A time of day in seconds, or a problem. A numeric keypad has no colon: 840 and 0840 are 08:40.
function parseClock(text, key) {
  const match = /^\s*(\d{1,2}):?(\d{2})(?::(\d{2}))?\s*$/.exec(text);
  const write = 'hours and minutes, 24-hour, such as "04:30"';
  if (!match) return { problem: problemOf(key, "this is not a clock time", text.trim(), write) };
  const [hours, minutes, seconds] = match.slice(1).map((part) => Number(part ?? 0));
  if (hours > 23 || minutes > 59 || seconds > 59) {
    return { problem: problemOf(key, "there is no such time of day", text.trim(), write) };
  }
  return { clockS: hours * HOUR_S + minutes * 60 + seconds };
}

// A time of day on the date on which it is nearest to when half the plan's days are there: all night at a camp.
function onItsDateS(timeOfDayS, plan, passing) {
  const hereS = plan.passings[passing].plannedClockS, leftS = plan.field.leaves_clock_s[passing] ?? hereS;
  let best = null, least = Infinity;
  for (let day = -2; day < 4; day++) {
    const clockS = timeOfDayS + DAY_S * day;
    const apartS = Math.max(hereS - clockS, clockS - leftS, 0);
    if (apartS < least) [best, least] = [clockS, apartS];
  }
  return best;
}

function orderProblems(passings, passed, startClockS) {
  if (!passed.length) {
    return [problemOf("at", "no passing was told", "", "one at least", "say where the party is and since when")];
  }
  const problems = [], say = (one) => `${sayClock(one.clockS)} at ${named(passings, one.passing)}`;
  if (passed[0].passing > 0 && passed[0].clockS <= startClockS) {
    problems.push(
      problemOf(
        "time",
        "this is not after the planned start",
        say(passed[0]),
        `a time after ${sayClock(startClockS)}`,
        `if the party left at another time, say so first: ${named(passings, 0)}, and when`,
      ),
    );
  }
  passed.slice(1).forEach((after, i) => {
    const before = passed[i], read = `${say(before)}, then ${say(after)}`;
    if (after.passing <= before.passing) {
      problems.push(problemOf("at", "places are not in the order of the day", read, "", "tell them in order"));
    } else if (after.clockS <= before.clockS) {
      problems.push(
        problemOf("time", "times are not in the order of the day", read, "each later than the one before"),
      );
    }
  });
  const last = passed[passed.length - 1].passing;
  if (last === passings.length - 1) {
    problems.push(
      problemOf(
        "at",
        "the day ends there, so nothing is left to plan",
        named(passings, last),
        "a passing with some way still ahead",
        "on the computer, hold a recorded track against the plan instead: handline review",
      ),
    );
  }
  return problems;
}

// today: { delayS, storm: { chance, fromClockS } or null, rock or null }.
function todayProblems(plan, { delayS, storm, rock }) {
  const problems = [], { storm_shape: shape, rock: states } = plan.field;
  if (!(delayS >= 0 && delayS <= DAY_S)) problems.push(problemOf("delay", "this is no stay", "", "0 to 24 h"));
  if (storm && !(storm.chance >= 0 && storm.chance <= shape.most_chance)) {
    const allowed = `0 to ${showShare(shape.most_chance)}`;
    problems.push(problemOf("storm", "no chance of a storm is as low or high as that", "", allowed));
  }
  if (storm && storm.fromClockS !== null && !(storm.fromClockS >= 0 && storm.fromClockS < DAY_S)) {
    problems.push(problemOf("stormFrom", "this is no time of day", "", "00:00 to 23:59"));
  }
  if (rock !== null && !states.names.includes(rock)) {
    problems.push(problemOf("rock", "unknown state of the rock", rock, states.names.join(", ")));
  }
  return problems;
}

// The hazard that gives the chance typed between now and midnight, over the hours in which storms come.
function stormLeft(shape, storm, nowClockS) {
  const usual = usualStorm(shape, storm.fromClockS);
  const midnightS = Math.max(Math.floor(nowClockS / DAY_S) + 1, 1) * DAY_S;
  const left = cumulative(usual, midnightS) - cumulative(usual, nowClockS);
  if (storm.chance > 0 && left <= 0) {
    const what = `storms are usually over by ${sayClock(nowClockS)}, so there is no telling when this one begins`;
    return { problem: problemOf("storm", what, showShare(storm.chance), "", "say from when on it may begin") };
  }
  const scale = storm.chance > 0 ? -Math.log1p(-storm.chance) / left : 0;
  return { clock_s: usual.clock_s, hazard: usual.hazard.map((hazard) => hazard * scale) };
}
