// The plan from here: replanning.py and turning.py, on the way. The page's plan has passings, chances and the field
// numbers (plan_field.py); what comes back is named as in replan_report.py.

const HOME = [0.1, 0.5, 0.9];

function quantiles(row, probabilities) {
  const sorted = Float64Array.from(row).sort(), last = sorted.length - 1;
  return probabilities.map((probability) => {
    const low = Math.floor(probability * last), share = probability * last - low;
    const below = sorted[low], apart = sorted[Math.min(low + 1, last)] - below;
    return share >= 0.5 ? below + apart - apart * (1 - share) : below + apart * share;
  });
}

// The plan's days and everything that is the same at every question, made at the first.
function prepared(plan) {
  if (!plan.prepared) {
    const { field } = plan, parts = drawParts(field);
    const itinerary = itineraryOf(field, rockClock(field.rock));
    const draws = drawsOf(parts, putTogether(field, parts, new Float64Array(parts.days)));
    plan.prepared = { parts, itinerary, draws };
  }
  return plan.prepared;
}

const drawsOf = (parts, movementS) => ({
  days: parts.days,
  movementS,
  waitNormal: parts.waitNormal,
  member: parts.member,
});

// passed: { passing, clockS } in order; today as in todayProblems. Gives { problems } where it cannot be used.
function replan(plan, passed, today = { delayS: 0, storm: null, rock: null }) {
  const { field, passings } = plan;
  const problems = [...orderProblems(passings, passed, field.depart_clock_s), ...todayProblems(plan, today)];
  if (problems.length) return { problems };
  const at = learn(plan, passed, today);
  if (at.storm.problem) return { problems: [at.storm.problem] };
  const on = goOn(at), [turns, whyNoTurn] = turnsFrom(field, at);
  const courses = [courseOf("go on", "", on)];
  turns.forEach(([key, turn]) => courses.push(courseOf(key, passings[turn].name, turnAt(at, turn, on))));
  const decide = { place: "", byClockS: NaN, thereByShare: 0 };
  if (turns.length) {
    const passing = at.here < at.itinerary.foot ? at.itinerary.foot : at.itinerary.legs / 2;
    decide.place = passings[passing].name;
    decide.byClockS = turnByS(field, at, on, passing);
    decide.thereByShare = mean(on.arrivals[passing - at.here].map((arriveS) => (arriveS <= decide.byClockS ? 1 : 0)));
  }
  const stretches = at.stretches.map((stretch) => ({
    ...stretch,
    start: named(passings, stretch.first),
    end: named(passings, stretch.last),
  }));
  const pace = paceToday(field, at, stretches), { wantedChance } = plan;
  const line = field.line_says.find((one) => one.rock === (today.rock ?? field.line_rock));
  const beforeLine = at.here <= at.itinerary.foot, offLine = at.here >= field.off_line;
  const bar = line.barred && !offLine ? { ...line, beforeLine } : null;
  const lineSays = [bar ? "" : line.says, beforeLine ? line.hands_up : line.hands_down].filter(Boolean).join(" ");
  const startAssumedS = passed[0].passing === 0 ? null : field.depart_clock_s;
  return {
    at: named(passings, at.here),
    clockS: at.clockS,
    delayS: at.delayS,
    wantedChance,
    advice: advise(courses, wantedChance, decide, bar, on.kept.size > 1, field.in_time_share),
    chances: chancesNow(plan, on),
    courses,
    ahead: passings.slice(at.here + 1).map((_, i) => aheadOf(plan, on, at.here, at.here + 1 + i)),
    pace,
    stormSays: today.storm ? stormWords(today.storm) : field.storm.says,
    rockSays: today.rock === null ? "as in the plan" : `${today.rock} for the rest of the day, as typed`,
    lineSays: offLine ? "" : lineSays,
    notes: notesOf(stretches, startAssumedS, at.clockS, today.storm !== null || today.rock !== null, whyNoTurn),
  };
}

// Where the party is, with the pace of today's passings and the plan's days at that pace.
function learn(plan, passed, { delayS, storm, rock }) {
  const { field } = plan, { parts, itinerary, draws } = prepared(plan), here = passed[passed.length - 1];
  const begun = passed[0].passing === 0 ? passed : [{ passing: 0, clockS: field.depart_clock_s }, ...passed];
  const pace = logPace(parts, here.passing);
  const stretches = observedStretches(field, itinerary, draws, pace, begun);
  const priorSigma = deviation(pace);
  const posterior = pacePosterior(priorSigma, stretches.filter((stretch) => stretch.tells));
  const allDay = field.rock.names.indexOf(rock);
  return {
    itinerary: rock === null ? itinerary : { ...itinerary, rock: () => allDay },
    draws: drawsOf(parts, putTogether(field, parts, movedTo(posterior, pace))),
    limits: field.limits,
    storm: storm ? stormLeft(field.storm_shape, storm, here.clockS) : field.storm,
    here: here.passing,
    clockS: here.clockS,
    delayS,
    stretches,
    posterior,
    priorSigma,
  };
}

// --- the ways from here ------------------------------------------------------------------------------------------

const allAt = (days, clockS) => new Float64Array(days).fill(clockS);

// On as planned. A storm during the delay counts: the arrival stays where it was.
function goOn(at) {
  const arrivals = walk(at.itinerary, at.draws, at.clockS + at.delayS, at.here);
  arrivals[0] = allAt(at.draws.days, at.clockS);
  return { arrivals, kept: keptShare(at.limits, at.itinerary, arrivals, at.storm, at.here) };
}

// On to a passing of the way up, and from there home by the passings of the way down. Turning here is turning at once.
// Who turns before the line was never on it, and keeps its limits.
function turnAt(at, turn, on) {
  const back = at.itinerary.legs - turn;
  const arrivals = walk(at.itinerary, at.draws, turn === at.here ? at.clockS : on.arrivals[turn - at.here], back);
  arrivals[0] = allAt(at.draws.days, at.clockS);
  const neverOn = { off_line_before_storm: false, off_line_by_clock_s: null };
  const limits = turn <= at.itinerary.foot ? { ...at.limits, ...neverOn } : at.limits;
  return { arrivals, kept: keptShare(limits, at.itinerary, arrivals, at.storm, back) };
}

// Where the party may turn from here on, and why not where it may not.
function turnsFrom(field, { here, itinerary }) {
  if (!field.out_and_back) return [[], "The way home is not the way up, so turning round is not worked out."];
  if (here >= Math.floor(itinerary.legs / 2)) return [[], ""];
  const turns = [["turn here", here]];
  if (here < itinerary.foot) turns.push(["turn at the foot", itinerary.foot]);
  return [turns, ""];
}

// The latest time at a passing ahead from which the limits are met as often as wanted; a rule of the party's own may be
// earlier.
function turnByS(field, at, on, passing) {
  const firstS = on.arrivals[passing - at.here].reduce((least, arriveS) => Math.min(least, arriveS), Infinity);
  const days = Math.min(field.latest_days, at.draws.days);
  const chance = (clockS) => {
    const arrivals = walk(at.itinerary, at.draws, clockS, passing, at.itinerary.legs, days);
    return mean(keptShare(at.limits, at.itinerary, arrivals, at.storm, passing).get("all"));
  };
  const latestS = latestToGoOnS(field, chance, firstS, at.limits.chance);
  const own = field.turn_rules.filter((rule) => rule.passing === passing).map((rule) => rule.after_clock_s);
  return Number.isNaN(latestS) ? NaN : Math.min(latestS, ...own);
}

// The last minute, from the first arrival on, before the chance first falls under the wanted one: NaN where it is under
// it from the start, infinite where it does not fall for as long as is looked.
function latestToGoOnS(field, chance, firstClockS, wanted) {
  let beginS = Math.floor(firstClockS / 60) * 60, endS = firstClockS + field.look_s;
  for (const stepS of field.look_steps_s) {
    const steps = Math.ceil((endS + 1 - beginS) / stepS);
    let missed = 0;
    while (missed < steps && chance(beginS + missed * stepS) >= wanted) missed++;
    if (missed === steps) return Infinity;
    if (missed === 0) return NaN;
    beginS += (missed - 1) * stepS;
    endS = beginS + stepS;
  }
  return beginS;
}

// --- the parts of an answer --------------------------------------------------------------------------------------

const errorOf = (row) => deviation(row) / Math.sqrt(row.length);

function courseOf(key, place, way) {
  const all = way.kept.get("all"), homeClockS = quantiles(way.arrivals[way.arrivals.length - 1], HOME);
  return { key, turnAt: place, share: mean(all), error: errorOf(all), homeClockS };
}

function chancesNow(plan, on) {
  const planned = new Map(plan.chances.map((chance) => [chance.key, chance]));
  const all = on.kept.size > 1 ? "All of these on one day" : "No limit is left";
  return [...on.kept].map(([key, row]) => ({
    key,
    sentence: key === "all" ? all : planned.get(key).sentence,
    share: mean(row),
    error: errorOf(row),
    plannedShare: planned.get(key)?.share ?? null,
  }));
}

function aheadOf(plan, on, here, passing) {
  const point = plan.passings[passing], arriveS = on.arrivals[passing - here], latestS = point.latestClockS;
  const byLatest = latestS === null ? null : mean(arriveS.map((clockS) => (clockS <= latestS ? 1 : 0)));
  return {
    name: point.name,
    way: point.way,
    plannedClockS: point.plannedClockS,
    arriveClockS: quantiles(arriveS, plan.probabilities),
    latestClockS: latestS,
    byLatestShare: byLatest,
    held: heldWord(byLatest, plan.wantedChance, plan.field.lost_from_share),
  };
}

function heldWord(byLatest, wanted, lostFromShare) {
  if (byLatest === null) return "";
  if (byLatest >= wanted) return "held";
  return byLatest < 1 - lostFromShare ? "lost" : "open";
}

function paceToday(field, { posterior, priorSigma }, stretches) {
  const reach = field.band_reach * posterior.sigma;
  const pace = {
    factor: Math.exp(posterior.mean),
    low: Math.exp(posterior.mean - reach),
    high: Math.exp(posterior.mean + reach),
    priorSigma,
    sigma: posterior.sigma,
  };
  return { ...pace, says: paceWords(pace, stretches) };
}
