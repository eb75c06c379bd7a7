// Many days at once on the clock, and how surely each keeps the limits: simulation.py and limits.py, on the way.
// A row has one value a day; clock times are seconds after local midnight of the trip's date.

const HOUR_S = 3600;

// --- tiring, rests and the dark ----------------------------------------------------------------------------------

function tiredS(workS, freshS, perHour) {
  let walkedS = null, beforeS = null;
  return workS.map((legS) => {
    if (!legS) return null;
    const days = legS.length, row = new Float64Array(days);
    walkedS ??= new Float64Array(days);
    beforeS ??= new Float64Array(days);
    for (let d = 0; d < days; d++) {
      walkedS[d] += legS[d];
      const extraS = (perHour / HOUR_S / 2) * Math.max(walkedS[d] - freshS, 0) ** 2;
      row[d] = legS[d] + (extraS - beforeS[d]);
      beforeS[d] = extraS;
    }
    return row;
  });
}

// What is moved on each leg, every day so many times as long as drawn; on the line, for one second of its passage time.
function putTogether(field, parts, logTimes) {
  const times = logTimes.map((log) => Math.exp(log));
  const workS = parts.partyS.map((row, j) => row && row.map((legS, d) => legS * times[d] * parts.legNoise[j][d]));
  const starts = [...startsOf(field), workS.length];
  const tired = starts.slice(1).flatMap((last, i) =>
    tiredS(workS.slice(starts[i], last), field.tiring_after_s, field.tiring_per_hour),
  );
  const rest = field.rest_s_per_hour / HOUR_S;
  return tired.map((row) => (row ? row.map((legS) => legS + legS * rest) : parts.passage));
}

// The broken line through the edges at x, going on straight at both ends; slope has one more entry.
function follow(x, edgesX, edgesY, slope) {
  if (x <= edgesX[0]) return edgesY[0] + slope[0] * (x - edgesX[0]);
  let i = 1;
  while (i < edgesX.length && x > edgesX[i]) i++;
  return edgesY[i - 1] + slope[i] * (x - edgesX[i - 1]);
}

// When work that would take so long in the light is done.
function darkClock(spans, factor) {
  const edgesS = spans.flat();
  if (!edgesS.length) return (departS, workS) => departS + workS;
  const rate = Array.from({ length: edgesS.length + 1 }, (_, i) => (i % 2 ? 1 / factor : 1));
  const slow = rate.map((one) => 1 / one), doneS = [0];
  for (let i = 1; i < edgesS.length; i++) doneS.push(doneS[i - 1] + rate[i] * (edgesS[i] - edgesS[i - 1]));
  return (departS, workS) => follow(follow(departS, edgesS, doneS, rate) + workS, doneS, edgesS, slow);
}

// --- the line and the weather ------------------------------------------------------------------------------------

function rankOf(edges, normal) {
  let low = 0, high = edges.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (normal >= edges[middle]) low = middle + 1;
    else high = middle;
  }
  return low;
}

// The wait before the line and what others add on it, for a time of joining and a standard normal.
function costOf(wait) {
  if (wait.median_s !== undefined) {
    return (cost, _, normal) => {
      cost.waitS = wait.median_s * Math.exp(wait.sigma * normal);
      cost.heldS = 0;
    };
  }
  const bins = wait.wait_s.length;
  return (cost, joinS, normal) => {
    const bin = Math.min(Math.max(Math.floor((joinS - wait.first_clock_s) / wait.step_s), 0), bins - 1);
    const row = wait.wait_s[bin];
    const rank = row.length ? rankOf(wait.rank_edges, normal) : 0;
    cost.waitS = row.length ? row[rank] : 0;
    cost.heldS = row.length ? wait.held_s[bin][rank] : 0;
  };
}

// The state of the rock at a clock time in a course of the weather.
function rockClock(rock) {
  const hours = rock.hours[0].length, alike = rock.hours.length === 1;
  const states = Int8Array.from(rock.hours.join(""), Number);
  return (clockS, course) => {
    const hour = Math.min(Math.max(Math.floor((clockS - rock.first_clock_s) / HOUR_S), 0), hours - 1);
    return states[(alike ? 0 : course * hours) + hour];
  };
}

function interpolate(x, knotsX, knotsY) {
  const last = knotsX.length - 1;
  if (!(x > knotsX[0])) return knotsY[0];
  if (x >= knotsX[last]) return knotsY[last];
  let low = 0, high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (knotsX[middle] <= x) low = middle;
    else high = middle;
  }
  return knotsY[low] + ((knotsY[high] - knotsY[low]) / (knotsX[high] - knotsX[low])) * (x - knotsX[low]);
}

const cumulative = (storm, clockS) => interpolate(clockS, storm.clock_s, storm.hazard);

const noneBetweenShare = (storm, fromS, toS) => Math.exp(cumulative(storm, fromS) - cumulative(storm, toS));

// A usual day's storms, up to a factor; with a clock time none begins before it, and the rise starts there.
function usualStorm(shape, firstClockS) {
  const movedS = firstClockS === null ? 0 : firstClockS - shape.rises_clock_s;
  const cornersS = shape.clock_s.map((clockS) => clockS + movedS);
  const levelUntilS = Math.max(shape.level_until_clock_s, cornersS[cornersS.length - 1]);
  cornersS.push(levelUntilS, levelUntilS + shape.gone_after_s);
  const rates = [...shape.rate, shape.rate[shape.rate.length - 1], 0];
  const clockS = [0], hazard = [0];
  for (let step = 1; step * shape.step_s <= shape.days * DAY_S; step++) {
    const middleS = (step - 0.5) * shape.step_s;
    let rate = 0;
    for (let day = 0; day < shape.days; day++) {
      const sinceS = middleS - day * DAY_S;
      if (sinceS >= (firstClockS ?? 0)) rate += interpolate(sinceS, cornersS, rates);
    }
    clockS.push(step * shape.step_s);
    hazard.push(hazard[step - 1] + rate);
  }
  return { clock_s: clockS, hazard };
}

// --- the days ----------------------------------------------------------------------------------------------------

// What a day asks, ready to be walked; rock is a rock clock.
function itineraryOf(field, rock) {
  const line = lineByLeg(field);
  return {
    legs: line.length,
    line,
    cost: line.map((one) => one && costOf(one.wait)),
    foot: line.findIndex((one) => one),
    offLine: field.off_line,
    night: field.night,
    stopS: field.stop_s,
    arrive: darkClock(field.dark_spans_clock_s, field.dark_factor),
    rock,
  };
}

// When a party that arrives at a passing has made its stop there, or slept.
function readyClockS(itinerary, passing, arriveS) {
  const { night, stopS } = itinerary;
  if (night && passing === night.passing) return Math.max(arriveS, night.start_clock_s);
  return arriveS + (passing > 0 ? stopS[passing] : 0);
}

// Walk from passing first to passing last: one row of arrivals for each. departS is a row or one clock time.
function walk(itinerary, draws, departS, first, last = itinerary.legs, days = draws.days) {
  const { line, cost, arrive, rock } = itinerary, costs = { waitS: 0, heldS: 0 };
  let clock = typeof departS === "number" ? new Float64Array(days).fill(departS) : departS;
  const arrivals = [clock];
  for (let j = first; j < last; j++) {
    const next = new Float64Array(days), movementS = draws.movementS[j], normalOf = draws.waitNormal[j];
    for (let d = 0; d < days; d++) {
      const readyS = readyClockS(itinerary, j, clock[d]);
      if (line[j]) {
        cost[j](costs, readyS, normalOf[d]);
        const leaveS = readyS + costs.waitS;
        const passageS = line[j].passage_by_rock_s[rock(leaveS, draws.member[d])];
        next[d] = costs.heldS + arrive(leaveS, movementS[d] * passageS);
      } else {
        next[d] = arrive(readyS, movementS[d]);
      }
    }
    clock = next;
    arrivals.push(clock);
  }
  return arrivals;
}

// How surely days walked from a passing keep each limit, by key, in the order of the day; "all" is last.
function keptShare(limits, itinerary, arrivals, storm, passing) {
  const { night, offLine } = itinerary, by = (row, clockS) => row.map((arriveS) => (arriveS <= clockS ? 1 : 0));
  const kept = new Map();
  if (limits.camp_clock_s !== null && night && passing <= night.passing) {
    kept.set("camp_before_dark", by(arrivals[night.passing - passing], limits.camp_clock_s));
  }
  if (passing <= offLine) {
    const offS = arrivals[offLine - passing];
    if (limits.off_line_before_storm) {
      const fromS = exposedFromS(itinerary, arrivals, passing);
      kept.set("off_line_before_storm", offS.map((clockS, d) => noneBetweenShare(storm, fromS[d], clockS)));
    }
    if (limits.off_line_by_clock_s !== null) kept.set("off_line_by", by(offS, limits.off_line_by_clock_s));
  }
  const homeS = arrivals[arrivals.length - 1];
  if (limits.dark_clock_s !== null) kept.set("home_before_dark", by(homeS, limits.dark_clock_s));
  if (limits.home_by_clock_s !== null) kept.set("home_by", by(homeS, limits.home_by_clock_s));
  const all = new Float64Array(homeS.length).fill(1);
  for (const row of kept.values()) for (let d = 0; d < all.length; d++) all[d] *= row[d];
  return kept.set("all", all);
}

// From when storms count: from the passing, or from leaving the camp of a night out.
function exposedFromS(itinerary, arrivals, passing) {
  const { night } = itinerary;
  if (!night || passing > night.passing) return arrivals[0];
  return arrivals[night.passing - passing].map((arriveS) => readyClockS(itinerary, night.passing, arriveS));
}
