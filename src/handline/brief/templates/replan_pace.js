// What today's passings say of the pace: pace_posterior.py, on the way.

function mean(row) {
  let sum = 0;
  for (let d = 0; d < row.length; d++) sum += row[d];
  return sum / row.length;
}

function dot(one, other) {
  let sum = 0;
  for (let d = 0; d < one.length; d++) sum += one[d] * other[d];
  return sum;
}

function deviation(row) {
  const middle = mean(row);
  return Math.sqrt(mean(row.map((value) => (value - middle) ** 2)));
}

// How much slower than the middle each day's pace is from a passing on; 0 where nobody walks any more.
function logPace(parts, first) {
  const rows = parts.partyS.slice(first).filter((row) => row), logs = new Float64Array(parts.days);
  if (!rows.length || rows.every((row) => row.every((legS) => legS === 0))) return logs;
  for (let d = 0; d < parts.days; d++) logs[d] = Math.log(rows.reduce((sum, row) => sum + row[d], 0));
  const middle = mean(logs);
  return logs.map((log) => log - middle);
}

// The stretches between neighbouring passings, each against the plan's days from the minute it began.
function observedStretches(field, itinerary, draws, pace, passed) {
  return passed.slice(1).map((end, i) => stretchOf(field, itinerary, draws, pace, passed[i], end));
}

function stretchOf(field, itinerary, draws, pace, start, end) {
  const { night } = itinerary;
  const arriveS = walk(itinerary, draws, start.clockS, start.passing, end.passing)[end.passing - start.passing];
  const slept = night && start.passing === night.passing;
  const beginS = slept ? Math.max(start.clockS, night.start_clock_s) : start.clockS;
  const tookS = end.clockS - beginS;
  const logs = arriveS.map((clockS) => Math.log(clockS - beginS)), middle = mean(logs);
  const paceVariance = dot(pace, pace) / pace.length;
  const walked = itinerary.line.slice(start.passing, end.passing).some((line) => !line);
  const apart = logs.map((log) => log - middle);
  const slope = walked && paceVariance > 0 ? dot(apart, pace) / pace.length / paceVariance : 0;
  const rest = apart.map((log, d) => log - slope * pace[d]);
  const longestS = arriveS.reduce((most, clockS) => Math.max(most, clockS), -Infinity) - beginS;
  const [quickS] = quantiles(arriveS.map((clockS) => clockS - beginS), [field.quick_share]);
  // At the camp of a night out a time later than on any day is when the party left it, not when it came.
  const left = night && end.passing === night.passing && tookS > longestS;
  return {
    first: start.passing,
    last: end.passing,
    tookS,
    middleS: Math.exp(middle),
    slope,
    noiseSigma: Math.hypot(deviation(rest), field.reading_sigma_s / Math.exp(middle)),
    shorterShare: mean(arriveS.map((clockS) => (clockS - beginS < tookS ? 1 : 0))),
    tells: slope > 0 && !left,
    rest,
    learnedS: Math.max(tookS, Math.min(tookS + stopsS(itinerary, start.passing, end.passing), quickS)),
  };
}

// The stops planned from a passing on to before another; a night is no stop.
function stopsS({ night, stopS }, first, last) {
  let sum = 0;
  for (let i = Math.max(first, 1); i < last; i++) sum += night && i === night.passing ? 0 : stopS[i];
  return sum;
}

// prior t ~ N(0, s0^2); y = b t + e, e ~ N(0, V): P = b' V^-1 b, s^2 = s0^2 / (1 + s0^2 P), mean = s^2 b' V^-1 y
function pacePosterior(priorSigma, stretches) {
  const variance = priorSigma ** 2;
  if (!stretches.length) return { mean: 0, sigma: priorSigma };
  const slopes = stretches.map((stretch) => stretch.slope);
  const weights = solved(covarianceOf(stretches), slopes);
  let precision = 0, pull = 0;
  stretches.forEach((stretch, k) => {
    // What is quicker than on a quick day is first put down to stops cut short: the careful side.
    const ratio = Math.log(stretch.learnedS / stretch.middleS);
    if (!Number.isFinite(ratio)) return;
    precision += weights[k] * slopes[k];
    pull += weights[k] * ratio;
  });
  const narrowed = variance / (1 + variance * precision);
  return { mean: narrowed * pull, sigma: Math.sqrt(narrowed) };
}

// Neighbours have some of their noise in common; what is read off a watch is each its own.
function covarianceOf(stretches) {
  return stretches.map((one, k) =>
    stretches.map((other, l) => (k === l ? one.noiseSigma ** 2 : dot(one.rest, other.rest) / one.rest.length)),
  );
}

// The weights w of V w = b, V symmetric and positive: by its Cholesky factor.
function solved(matrix, right) {
  const size = right.length, low = matrix.map(() => new Float64Array(size)), found = Float64Array.from(right);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i][j];
      for (let k = 0; k < j; k++) sum -= low[i][k] * low[j][k];
      if (i === j && !(sum > 0)) throw new Error("no noises have these correlations");
      low[i][j] = i === j ? Math.sqrt(sum) : sum / low[j][j];
    }
  }
  for (let i = 0; i < size; i++) {
    for (let k = 0; k < i; k++) found[i] -= low[i][k] * found[k];
    found[i] /= low[i][i];
  }
  for (let i = size - 1; i >= 0; i--) {
    for (let k = i + 1; k < size; k++) found[i] -= low[k][i] * found[k];
    found[i] /= low[i][i];
  }
  return found;
}

// How much each day must slow down for the days to have the pace learned: t' - t with t' = mean + (s / s0) t.
function movedTo(posterior, pace) {
  const priorSigma = deviation(pace);
  if (priorSigma === 0) return new Float64Array(pace.length);
  return pace.map((log) => posterior.mean + (posterior.sigma / priorSigma - 1) * log);
}
