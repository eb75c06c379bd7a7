// Numbers and verdicts in words: quantity.py and replan_words.py, on the way, word for word.

const DAY_S = 86400;

// --- numbers -----------------------------------------------------------------------------------------------------

// To so many decimals; what lies exactly between two goes to the even one.
function fixed(value, decimals) {
  const twice = Math.abs(value) * 2 ** (decimals + 1);
  if (Number.isInteger(twice) && twice % 2 === 1) {
    const below = Math.floor(Math.abs(value) * 10 ** decimals);
    const even = (below % 2 ? below + 1 : below) / 10 ** decimals;
    return (value < 0 ? -even : even).toFixed(decimals);
  }
  return value.toFixed(decimals);
}

const two = (number) => String(number).padStart(2, "0");

function showClock(clockS) {
  const minutes = Math.floor(clockS / 60 + 0.5), day = Math.floor(minutes / 1440), minute = minutes - 1440 * day;
  const text = `${two(Math.floor(minute / 60))}:${two(minute % 60)}`;
  return day === 0 ? text : `${text} (${day > 0 ? "+" : ""}${day})`;
}

function sayClock(clockS) {
  return showClock(clockS).replace(" (-1)", " the day before").replace(" (+1)", " the day after");
}

function showChance(share) {
  if (share === 0) return "under 1 %";
  return share === 1 ? "over 99 %" : showShare(share);
}

function showShare(share) {
  if (share > 0 && share < 0.01) return "under 1 %";
  if (share > 0.99 && share < 1) return "over 99 %";
  return `${fixed(share * 100, 0)} %`;
}

const showError = (error) => (error >= 0.0005 ? fixed(error * 100, 1) : "under 0.1");

function showDuration(durationS) {
  const minutes = Number(fixed(Math.abs(durationS) / 60, 0)), sign = durationS < 0 && minutes ? "-" : "";
  return minutes >= 60
    ? `${sign}${Math.floor(minutes / 60)} h ${two(minutes % 60)} min`
    : `${sign}${minutes} min`;
}

// --- what to do --------------------------------------------------------------------------------------------------

// decide: { place, byClockS, thereByShare } of the next place to decide at; place is empty where there is none.
// bar: { rock, says, beforeLine } of a line that nobody should step onto; null where nothing bars it. Before it the party
// turns, whatever the chances are.
function advise(courses, wanted, decide, bar, anyLeft, inTimeShare) {
  const byChance = adviseByChance(courses, wanted, decide, anyLeft, inTimeShare);
  return bar ? atTheBar(bar, byChance, courses) : byChance;
}

function adviseByChance(courses, wanted, decide, anyLeft, inTimeShare) {
  const byKey = new Map(courses.map((course) => [course.key, course]));
  const on = byKey.get("go on"), here = byKey.get("turn here"), foot = byKey.get("turn at the foot");
  if (!anyLeft) return adviceOf("go_on", "Go on", "There is no limit left to miss.");
  const goingOn = `Going on, ${keptWords(on)}; you asked for ${showShare(wanted)}.`;
  if (!here) return adviceOf("go_on", "Go on", goingOn);
  const footDoes = foot !== undefined && foot.share >= wanted;
  const hasTime = decide.place !== "" && Number.isFinite(decide.byClockS);
  if (hasTime && decide.thereByShare >= inTimeShare && (on.share >= wanted || footDoes)) {
    return turnBy(goingOn, on.share < wanted ? foot : undefined, decide);
  }
  if (on.share < wanted && footDoes) return onlyToFoot(goingOn, foot);
  if (on.share >= wanted) return adviceOf("go_on", "Go on", goingOn);
  const sooner = here.share === on.share && here.homeClockS[1] < on.homeClockS[1];
  if (here.share > on.share || sooner) return turnNow(goingOn, here, foot, wanted);
  return adviceOf("go_on", "Go on", `${goingOn} Turning here is no better: ${keptWords(here)}, ${homeWords(here)}.`);
}

function adviceOf(key, headline, sentence, turnAt = "", turnByClockS = null) {
  return { key, headline, sentence, turnAt, turnByClockS };
}

function atTheBar(bar, byChance, courses) {
  if (!bar.beforeLine) {
    const headline = `${byChance.headline}; mind the line on ${bar.rock} rock`;
    return { ...byChance, headline, sentence: `${byChance.sentence} The line: ${bar.says}` };
  }
  const byKey = new Map(courses.map((course) => [course.key, course]));
  const here = byKey.get("turn here"), foot = byKey.get("turn at the foot");
  const why = `Do not go onto the line on ${bar.rock} rock. ${bar.says}`;
  if (byChance.key === "turn_now") return { ...byChance, sentence: `${why} ${byChance.sentence}` };
  if (foot) return onlyToFoot(why, foot);
  if (here) return adviceOf("turn_now", "Turn now", `${why} Turning now, ${keptWords(here)}, and you are ${homeWords(here)}.`);
  return adviceOf("turn_now", "Do not go onto the line", why);
}

function turnBy(goingOn, better, { place, byClockS, thereByShare }) {
  const by = sayClock(byClockS);
  const only = better ? ` Going only as far as ${better.turnAt}, ${keptWords(better)}.` : "";
  const sentence =
    `${goingOn}${only} You come to ${place} by ${by} on ${showChance(thereByShare)} of them;` +
    " if you are not there by then, turn round.";
  return adviceOf("turn_by", `Go on, turn at ${place} by ${by}`, sentence, place, byClockS);
}

function onlyToFoot(goingOn, foot) {
  const sentence = `${goingOn} Going only as far as ${foot.turnAt}, ${keptWords(foot)}, and you are ${homeWords(foot)}.`;
  return adviceOf("turn_by", `Go on only as far as ${foot.turnAt}, and turn there`, sentence, foot.turnAt);
}

function turnNow(goingOn, here, foot, wanted) {
  let sentence = `${goingOn} Turning now, ${keptWords(here)}, and you are ${homeWords(here)}.`;
  if (foot) sentence += ` Turning only at ${foot.turnAt}, ${keptWords(foot)}, ${homeWords(foot)}.`;
  if (here.share < wanted) {
    sentence += " Turning now does not meet them as often as you asked either, but it does better.";
  }
  return adviceOf("turn_now", "Turn now", sentence);
}

const keptWords = (course) => `your limits hold on ${showChance(course.share)} of days like this one`;

const homeWords = (course) => `home about ${sayClock(course.homeClockS[1])}`;

// --- pace, storm and notes ---------------------------------------------------------------------------------------

function paceWords(pace, stretches) {
  const told = stretches.filter((stretch) => stretch.tells);
  if (!told.length || !(pace.sigma > 0)) {
    return "Nothing was learned of your pace yet, so it is the plan's.";
  }
  const way = `from ${told[0].start} to ${told[told.length - 1].end}`;
  return (
    `By the way ${way} you take ${fixed(pace.factor, 2)} times as long as the plan's middle on what is left` +
    ` (8 in 10: ${fixed(pace.low, 2)} to ${fixed(pace.high, 2)}).`
  );
}

function stormWords(storm) {
  const since = storm.fromClockS === null ? "" : ` from ${sayClock(storm.fromClockS)} on`;
  return `${showShare(storm.chance)} for the rest of the day${since}, as typed`;
}

function notesOf(stretches, startAssumedS, clockS, newWeather, whyNoTurn) {
  const notes = [];
  if (startAssumedS !== null) {
    notes.push(`No start was told, so the party is taken to have left at ${sayClock(startAssumedS)} as planned.`);
  }
  for (const stretch of stretches) {
    const between = `from ${stretch.start} to ${stretch.end}`;
    if (stretch.tells && stretch.learnedS - stretch.tookS >= 60) {
      notes.push(
        `The way ${between} was quicker than on most days. ${showDuration(stretch.learnedS - stretch.tookS)} of that is` +
          " put down to a stop cut short, not to fast walking. Was water treated, did everybody rest?",
      );
    }
    if (stretch.shorterShare === 0) {
      notes.push(`The way ${between} was faster than on any simulated day: look again at place and time.`);
    }
    if (stretch.shorterShare === 1 && stretch.tells) {
      notes.push(
        `The way ${between} was slower than on any simulated day. It counts as slow walking; a long stop there` +
          " would make the rest look slower than it is.",
      );
    }
  }
  notes.push(
    `Counted from ${sayClock(clockS)}, no storm having begun by then. Once one has, these chances do not hold.`,
  );
  if (newWeather) {
    notes.push(
      "The latest times are the plan's, with the weather it was made with; the chances are with what you typed.",
    );
  }
  if (whyNoTurn) notes.push(whyNoTurn);
  return notes;
}
