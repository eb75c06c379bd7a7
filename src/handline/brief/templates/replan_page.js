// "We are at ...": what is told on the page, kept on this device for this very plan, and the answer.

const LEVEL_OF = { turn_now: "stop", turn_by: "heed", go_on: "note" };
const WORD_OF = { stop: "Stop: turn round", heed: "Heed: act on this", note: "Note" };
const TODAY_KEYS = ["delay", "storm", "stormFrom", "rock"];
const KEYS = ["at", "time", ...TODAY_KEYS];

const part = (name) => document.getElementById(`replan-${name}`);

function element(tag, content, attributes = {}) {
  const made = document.createElement(tag);
  Object.entries(attributes).forEach(([name, value]) => made.setAttribute(name, value));
  made.append(...[content].flat());
  return made;
}

// --- what is kept on this device -----------------------------------------------------------------------------------

const EMPTY = { told: [], today: {} };

function keptOf(key) {
  try {
    const { told, today } = JSON.parse(window.localStorage.getItem(key)) ?? EMPTY;
    const usable = told.every((one) => Number.isInteger(one.passing) && Number.isFinite(one.clockS));
    return usable ? { told, today: today ?? {} } : EMPTY;
  } catch {
    return EMPTY;
  }
}

function keep(key, state) {
  try {
    window.localStorage.setItem(key, JSON.stringify(state));
    return true;
  } catch {
    return false;
  }
}

// --- what is told ----------------------------------------------------------------------------------------------------

// The time of day where the party is, as this device has it.
function nowText(zone) {
  const shown = { hour: "2-digit", minute: "2-digit", hourCycle: "h23" };
  try {
    return new Intl.DateTimeFormat("en-GB", { ...shown, timeZone: zone }).format(new Date());
  } catch {
    return new Intl.DateTimeFormat("en-GB", shown).format(new Date());
  }
}

const inOrder = (told) => [...told].sort((one, other) => one.passing - other.passing);

// The passing ahead at which the plan's middle day is nearest to this time.
function likelyNext(plan, told, clockOfDayS) {
  const after = Math.max(-1, ...told.map((one) => one.passing));
  let likely = Math.min(after + 1, plan.passings.length - 2), least = Infinity;
  for (let passing = after + 1; passing < plan.passings.length - 1; passing++) {
    const apartS = Math.abs(onItsDateS(clockOfDayS, plan, passing) - plan.passings[passing].plannedClockS);
    if (apartS < least) [likely, least] = [passing, apartS];
  }
  return likely;
}

// A number as typed, with a point or a comma; NaN where it is none.
const numberOf = (text) => (/^\d{1,6}([.,]\d{1,6})?$/.test(text) ? Number(text.replace(",", ".")) : NaN);

// Today as typed: { today } for replan, or { problems }.
function todayOf(plan, typed) {
  const text = Object.fromEntries(TODAY_KEYS.map((key) => [key, (typed[key] ?? "").trim()])), problems = [];
  const delayS = text.delay === "" ? 0 : numberOf(text.delay.replace(/\s*min$/, "")) * 60;
  const chance = text.storm === "" ? null : numberOf(text.storm.replace(/\s*%$/, "")) / 100;
  let fromClockS = null;
  if (text.stormFrom !== "") {
    const read = parseClock(text.stormFrom, "stormFrom");
    if (read.problem) problems.push(read.problem);
    else fromClockS = read.clockS;
    if (chance === null) {
      const what = "this says when a storm may begin, but not how likely one is";
      problems.push(problemOf("stormFrom", what, text.stormFrom, "", "add the chance of a storm"));
    }
  }
  const storm = chance === null ? null : { chance, fromClockS };
  const today = { delayS, storm, rock: text.rock === "" ? null : text.rock };
  problems.push(...todayProblems(plan, today).map((problem) => ({ ...problem, read: problem.read || text[problem.key] })));
  return problems.length ? { problems } : { today };
}

// What is told may fit no day at all: that is said, and not left to the console.
function worked(plan, passed, today) {
  try {
    return replan(plan, passed, today);
  } catch (failed) {
    console.error(failed);
    const what = "this could not be worked out from what was told";
    return { problems: [problemOf("at", what, "", "", "on the computer, ask handline replan")] };
  }
}

// --- the answer ------------------------------------------------------------------------------------------------------

function table(caption, headings, rows) {
  const head = headings.map((heading, i) => element("th", heading, i ? { scope: "col", class: "number" } : { scope: "col" }));
  const body = rows.map((cells) =>
    element("tr", cells.map((cell, i) => element(i ? "td" : "th", cell, i ? { class: "number" } : { scope: "row" }))),
  );
  const caption_ = element("caption", caption);
  return element("table", [caption_, element("thead", element("tr", head)), element("tbody", body)]);
}

function chanceTable(found) {
  const rows = found.chances.map((chance) => [
    chance.sentence,
    [element("b", showChance(chance.share)), element("small", ` ± ${showError(chance.error)}`)],
    chance.plannedShare === null ? "none" : showChance(chance.plannedShare),
  ]);
  return table(`Chances from here. You asked for ${showShare(found.wantedChance)}.`, ["", "now", "planned"], rows);
}

function aheadTable(found, probabilities) {
  const [half, late] = [0.5, 0.9].map((probability) => probabilities.indexOf(probability));
  const rows = found.ahead.map((row) => {
    const by = row.byLatestShare === null ? "" : `${row.way} · ${row.held}: there by then on ${showChance(row.byLatestShare)}`;
    return [
      [row.name, element("small", by || row.way, row.held === "lost" ? { class: "lost" } : {})],
      showClock(row.arriveClockS[half]),
      showClock(row.arriveClockS[late]),
      row.latestClockS === null ? "none" : showClock(row.latestClockS),
    ];
  });
  return table(aheadWords(found), ["Place ahead", "half by", "9 in 10 by", "latest"], rows);
}

// What the table of places says, and which of two latest times counts: the plan did not know today's pace.
function aheadWords(found) {
  if (found.ahead.every((row) => row.latestClockS === null)) return "The plan has no latest time for any place ahead.";
  let words =
    `held: there by the planned latest with a chance of at least ${showShare(found.wantedChance)};` +
    " lost: later is likelier; open: between.";
  if (found.ahead.some((row) => row.latestClockS === null)) words += " none: the plan has no latest time there.";
  if (found.advice.turnByClockS !== null) {
    words += ` At ${found.advice.turnAt} the time at the top counts, worked out at today's pace.`;
  }
  return words;
}

function courseTable(found) {
  const rows = found.courses.map(({ turnAt: place, share, homeClockS }) => [
    place ? `turn at ${place}` : "go on",
    showChance(share),
    showClock(homeClockS[1]),
    `${showClock(homeClockS[0])} to ${showClock(homeClockS[2])}`,
  ]);
  return table("What you may do.", ["You may", "limits hold", "home half by", "8 days in 10"], rows);
}

function detailOf(plan, found) {
  const stay = found.delayS ? `, and ${showDuration(found.delayS)} there on top of the planned stop` : "";
  const where = `${plan.name}, ${plan.date}: at ${found.at} ${sayClock(found.clockS)}${stay}; clock: ${plan.timezone}`;
  const facts = [["Pace", found.pace.says], ["Storm", found.stormSays], ["Rock", found.rockSays]];
  if (found.lineSays) facts.push(["Line", found.lineSays]);
  return [
    element("p", where, { class: "quiet" }),
    chanceTable(found),
    element("h3", "Places ahead"),
    aheadTable(found, plan.probabilities),
    ...(found.courses.length > 1 ? [element("h3", "Ways from here"), courseTable(found)] : []),
    element("h3", "What it stands on"),
    element("dl", facts.map(([what, says]) => element("div", [element("dt", what), element("dd", says)])), { class: "who" }),
    element("ul", found.notes.map((note) => element("li", note))),
  ];
}

function showAnswer(plan, found) {
  part("answer").hidden = !found;
  part("detail").replaceChildren(...(found ? detailOf(plan, found) : []));
  if (!found) return;
  const level = LEVEL_OF[found.advice.key];
  part("answer").querySelectorAll(".shape").forEach((shape) => { shape.hidden = shape.dataset.level !== level; });
  part("word").textContent = WORD_OF[level];
  part("headline").textContent = `${found.advice.headline}.`;
  part("sentence").textContent = found.advice.sentence;
}

function showProblems(problems) {
  for (const key of KEYS) {
    const of = problems.filter((problem) => problem.key === key);
    part(`${key}-problem`).hidden = !of.length;
    part(`${key}-problem`).textContent = of.map(problemWords).join(" ");
    part(key).setAttribute("aria-invalid", of.length ? "true" : "false");
  }
  if (problems.some((problem) => TODAY_KEYS.includes(problem.key))) part("more").open = true;
  if (!problems.length) return;
  showAnswer(null, null); // an earlier one would stand there as if it answered this
  part(problems[0].key).focus();
}

// --- the page ----------------------------------------------------------------------------------------------------------

function openPage(plan) {
  const key = `handline-replan-${plan.inputs}`;
  let state = keptOf(key), timeTyped = false, placePicked = false;
  const says = part("time-says"), time = part("time"), at = part("at");

  function tick() {
    if (timeTyped) return;
    if (document.activeElement !== time) time.value = nowText(plan.zone);
    says.textContent = "now, by this device";
    if (!placePicked && document.activeElement !== at) at.value = String(likelyNext(plan, state.told, parseClock(time.value, "time").clockS));
    nameButton();
  }

  function typed() {
    timeTyped = true;
    says.textContent = "HH:MM, 24-hour";
    nameButton();
  }

  function nameButton() {
    part("go").textContent = `We are at ${named(plan.passings, Number(at.value))}, ${time.value}: what now?`;
  }

  function moveTime(minutes) {
    const read = parseClock(time.value, "time");
    if (read.problem) return;
    time.value = showClock((read.clockS + 60 * minutes + DAY_S) % DAY_S);
    typed();
  }

  // The told passings with this one; the same place again is told anew.
  function withOne(passing, clockS) {
    return [...state.told.filter((one) => one.passing !== passing), { passing, clockS }];
  }

  // The answer for what is told, kept and shown; or what is wrong with it, and nothing is changed.
  function answer(told, today, then = () => {}) {
    const read = todayOf(plan, today);
    if (read.problems) return showProblems(read.problems);
    part("go").disabled = true;
    part("go").textContent = "Working it out ...";
    // A moment for the words to be seen.
    setTimeout(() => {
      const found = told.length ? worked(plan, inOrder(told), read.today) : null;
      part("go").disabled = false;
      if (found?.problems) {
        nameButton();
        return showProblems(found.problems);
      }
      showProblems([]);
      state = { told, today };
      showTold(keep(key, state));
      showAnswer(plan, found);
      then();
      tick();
      nameButton();
    }, 20);
  }

  function showTold(isKept) {
    part("told").hidden = !state.told.length;
    const lines = inOrder(state.told).map(({ passing, clockS }) => `${named(plan.passings, passing)}, ${sayClock(clockS)}`);
    part("passed").replaceChildren(...lines.map((line) => element("li", line)));
    part("kept").textContent = isKept
      ? "Kept on this device only. To correct a time, tell the same place again."
      : "This browser keeps nothing: do not close the page. To correct a time, tell the same place again.";
  }

  const todayTyped = () => Object.fromEntries(TODAY_KEYS.map((name) => [name, part(name).value]));

  part("form").addEventListener("submit", (event) => {
    event.preventDefault();
    if (!timeTyped) time.value = nowText(plan.zone);
    const read = parseClock(time.value, "time"), passing = Number(at.value);
    if (read.problem) return showProblems([read.problem]);
    answer(withOne(passing, onItsDateS(read.clockS, plan, passing)), todayTyped(), () => {
      timeTyped = placePicked = false;
      part("answer").scrollIntoView({ block: "start" });
    });
  });
  part("form").addEventListener("focusin", () => setTimeout(() => prepared(plan)), { once: true });
  part("undo").addEventListener("click", () => answer(state.told.slice(0, -1), state.today));
  part("clear").addEventListener("click", () => {
    TODAY_KEYS.forEach((name) => { part(name).value = ""; });
    answer([], {});
  });
  part("now").addEventListener("click", () => {
    timeTyped = false;
    tick();
  });
  part("form").querySelectorAll("[data-minutes]").forEach((button) => {
    button.addEventListener("click", () => moveTime(Number(button.dataset.minutes)));
  });
  time.addEventListener("input", typed);
  at.addEventListener("change", () => {
    placePicked = true;
    nameButton();
  });
  TODAY_KEYS.forEach((name) => part(name).addEventListener("change", () => {
    if (state.told.length) answer(state.told, todayTyped());
  }));

  const nameOf = (passing) => `${named(plan.passings, passing)}${passing ? "" : ", when you left"}`;
  at.append(...plan.passings.map((_, i) => element("option", nameOf(i), { value: i })));
  TODAY_KEYS.forEach((name) => { part(name).value = state.today[name] ?? ""; });
  if (Object.values(state.today).some((text) => text)) part("more").open = true;
  part("form").hidden = false;
  tick();
  setInterval(tick, 10000);
  if (state.told.length) answer(state.told, state.today);
}

// For the page, and for whoever checks its arithmetic against the program's.
window.handlineReplan = replan;
openPage(JSON.parse(document.getElementById("field-data").textContent));
