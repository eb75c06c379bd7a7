// What chance gives to each day: the very draws of the plan, from the same streams of random bits.
// Bits: PCG XSL RR 128/64 [oneill_2014]. Normals: the ziggurat of 256 strips [marsaglia_tsang_2000].

const PCG_FACTOR = "2360ed051fc65da44385df649fccf645";
const LIMBS = 8; // of 16 bits, lowest first

function limbsOf(hex) {
  return Float64Array.from({ length: LIMBS }, (_, i) => parseInt(hex.slice(28 - 4 * i, 32 - 4 * i), 16));
}

// Each number of 64 bits is left in hi and lo, 32 bits each.
class Bits {
  constructor(stream) {
    this.state = limbsOf(stream.state);
    this.step = limbsOf(stream.step);
    this.factor = limbsOf(PCG_FACTOR);
    this.hi = 0;
    this.lo = 0;
    this.kept = null;
  }

  next() {
    const { state, step, factor } = this;
    const sums = Bits.sums;
    let carry = 0;
    for (let k = 0; k < LIMBS; k++) {
      let sum = step[k];
      for (let i = 0; i <= k; i++) sum += state[i] * factor[k - i];
      sums[k] = sum;
    }
    for (let k = 0; k < LIMBS; k++) {
      const sum = sums[k] + carry;
      carry = Math.floor(sum / 65536);
      state[k] = sum - carry * 65536;
    }
    const hi = (state[7] * 65536 + state[6]) ^ (state[3] * 65536 + state[2]);
    const lo = (state[5] * 65536 + state[4]) ^ (state[1] * 65536 + state[0]);
    const turn = state[7] >>> 10;
    const high = turn < 32 ? hi : lo, low = turn < 32 ? lo : hi, by = turn & 31;
    this.hi = (by ? (high >>> by) | (low << (32 - by)) : high) >>> 0;
    this.lo = (by ? (low >>> by) | (high << (32 - by)) : low) >>> 0;
  }

  // 0 to 1, without 1.
  share() {
    this.next();
    return (this.hi * 2097152 + (this.lo >>> 11)) / 9007199254740992;
  }

  // The low half of a number first, its high half the next time.
  half() {
    if (this.kept !== null) {
      const kept = this.kept;
      this.kept = null;
      return kept;
    }
    this.next();
    this.kept = this.hi;
    return this.lo;
  }
}
Bits.sums = new Float64Array(LIMBS);

// Strip i of the ziggurat ends at x[i]; all have the same area, the lowest with the tail.
const ZIGGURAT = (() => {
  const end = 3.6541528853610088, area = 0.00492867323399, bits = 4503599627370496;
  const height = (x) => Math.exp(-0.5 * x * x);
  const x = new Float64Array(256), under = new Float64Array(256), width = new Float64Array(256);
  const top = new Float64Array(256);
  x[255] = end;
  for (let i = 254; i > 0; i--) x[i] = Math.sqrt(-2 * Math.log(area / x[i + 1] + height(x[i + 1])));
  for (let i = 0; i < 256; i++) {
    width[i] = (i ? x[i] : area / height(end)) / bits;
    top[i] = height(x[i]);
    under[i] = i ? Math.floor((x[i - 1] / x[i]) * bits) : Math.floor(((end * height(end)) / area) * bits);
  }
  return { end, under, width, top };
})();

function normal(bits) {
  const { end, under, width, top } = ZIGGURAT;
  for (;;) {
    bits.next();
    const strip = bits.lo & 255, negative = (bits.lo >>> 8) & 1;
    const far = (bits.hi & 536870911) * 8388608 + (bits.lo >>> 9);
    const x = negative ? -far * width[strip] : far * width[strip];
    if (far < under[strip]) return x;
    if (strip === 0) {
      const inTail = (bits.lo >>> 17) & 1;
      for (;;) {
        const over = -Math.log1p(-bits.share()) / end;
        const below = -Math.log1p(-bits.share());
        if (below + below > over * over) return inTail ? -(end + over) : end + over;
      }
    }
    if ((top[strip - 1] - top[strip]) * bits.share() + top[strip] < Math.exp(-0.5 * x * x)) return x;
  }
}

function normals(bits, days) {
  const drawn = new Float64Array(days);
  for (let d = 0; d < days; d++) drawn[d] = normal(bits);
  return drawn;
}

function largestOf(bits, rows, days) {
  const largest = new Float64Array(days).fill(-Infinity);
  for (let row = 0; row < rows; row++) {
    for (let d = 0; d < days; d++) largest[d] = Math.max(largest[d], normal(bits));
  }
  return largest;
}

// Which of so many, each by its weight.
function choices(bits, weights, days) {
  const edges = [];
  weights.forEach((weight, i) => edges.push((i ? edges[i - 1] : 0) + weight));
  const whole = edges[edges.length - 1];
  const drawn = new Int16Array(days);
  for (let d = 0; d < days; d++) {
    const share = bits.share();
    let i = 0;
    while (share >= edges[i] / whole) i++;
    drawn[d] = i;
  }
  return drawn;
}

// Whole numbers below a bound, all alike likely.
function wholes(bits, below, days) {
  const drawn = new Int32Array(days), odd = 4294967296 % below;
  if (below === 1) return drawn;
  for (let d = 0; d < days; d++) {
    let product;
    do product = bits.half() * below;
    while (product % 4294967296 < odd);
    drawn[d] = Math.floor(product / 4294967296);
  }
  return drawn;
}

const startsOf = (field) => (field.night ? [0, field.night.passing] : [0]);

function lineByLeg(field) {
  const byLeg = new Array(field.walking_s[0][0].length).fill(null);
  field.line.forEach((line) => { byLeg[line.leg] = line; });
  return byLeg;
}

// The draws before they are put together, as drawn_parts.py has them: rows by leg of one value a day.
function drawParts(field) {
  const { days, streams } = field, line = lineByLeg(field);
  const [model, people, legs, wait, passage, weather] = ["model", "people", "legs", "wait", "passage", "weather"].map(
    (name) => new Bits(streams[name]),
  );
  const models = choices(model, field.model_weight, days);
  const walked = line.flatMap((one, j) => (one ? [] : [j]));
  const partyS = slowestS(field, models, people, line);
  const legNoise = line.map(() => null);
  remembered(field, walked, walked.map(() => normals(legs, days))).forEach((row, i) => {
    legNoise[walked[i]] = row.map((drawn) => Math.exp(field.leg_sigma * drawn));
  });
  const waitNormal = line.map((one) => (one ? normals(wait, days) : null));
  const slow = largestOf(passage, field.size, days).map((drawn) => Math.exp(field.passage_sigma * drawn));
  return { days, partyS, legNoise, waitNormal, passage: slow, member: wholes(weather, field.rock.courses, days) };
}

// The walking of each leg at the pace of whoever is slowest on it; null on the line.
function slowestS(field, models, people, line) {
  const { days } = field;
  const own = Array.from({ length: field.walkers }, () => normals(people, days));
  const partyS = line.map((one) => (one ? null : new Float64Array(days)));
  field.groups.forEach((group, g) => {
    // Of people whom no number tells apart the one with the worst day is slowest on every leg.
    const day = new Float64Array(days);
    for (let d = 0; d < days; d++) {
      let worst = -Infinity;
      for (const walker of group) worst = Math.max(worst, own[walker][d]);
      day[d] = Math.exp(field.walker_sigma[g] * worst);
    }
    partyS.forEach((row, j) => {
      if (!row) return;
      const byModel = field.walking_s.map((model) => model[g][j]);
      for (let d = 0; d < days; d++) row[d] = Math.max(row[d], byModel[models[d]] * day[d]);
    });
  });
  return partyS;
}

// e_j = r e_(j-1) + sqrt(1 - r^2) z_j; a night forgets.
function remembered(field, walked, fresh) {
  const memory = field.leg_memory, rest = Math.sqrt(1 - memory ** 2), starts = startsOf(field);
  for (let row = 1; row < walked.length; row++) {
    if (starts.some((start) => walked[row - 1] < start && start <= walked[row])) continue;
    for (let d = 0; d < field.days; d++) fresh[row][d] = memory * fresh[row - 1][d] + rest * fresh[row][d];
  }
  return fresh;
}
