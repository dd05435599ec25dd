// SHA-256 (FIPS 180-4), so that a sample is drawn here as the command line draws it.
const DIGEST_ROUNDS = new Uint32Array(64);
const DIGEST_START = new Uint32Array(8);
(function primes() {
  const part = (value) => Math.floor((value - Math.floor(value)) * 4294967296);
  for (let candidate = 2, found = 0; found < 64; candidate += 1) {
    let prime = true;
    for (let divisor = 2; divisor * divisor <= candidate; divisor += 1) prime = prime && candidate % divisor > 0;
    if (!prime) continue;
    DIGEST_ROUNDS[found] = part(Math.cbrt(candidate));
    if (found < 8) DIGEST_START[found] = part(Math.sqrt(candidate));
    found += 1;
  }
})();

const turned = (value, by) => (value >>> by) | (value << (32 - by));

// The first eight bytes of the digest as two numbers of 32 bits.
function digestStart(text) {
  const bytes = new TextEncoder().encode(text);
  const padded = new Uint8Array(Math.ceil((bytes.length + 9) / 64) * 64);
  padded.set(bytes);
  padded[bytes.length] = 0x80;
  const view = new DataView(padded.buffer);
  view.setUint32(padded.length - 4, bytes.length * 8);
  const state = Uint32Array.from(DIGEST_START);
  const words = new Uint32Array(64);
  for (let at = 0; at < padded.length; at += 64) {
    for (let i = 0; i < 16; i += 1) words[i] = view.getUint32(at + 4 * i);
    for (let i = 16; i < 64; i += 1) {
      const early = words[i - 15];
      const late = words[i - 2];
      words[i] = words[i - 16] + words[i - 7] + (turned(early, 7) ^ turned(early, 18) ^ (early >>> 3)) + (turned(late, 17) ^ turned(late, 19) ^ (late >>> 10));
    }
    mixed(state, words);
  }
  return [state[0], state[1]];
}

function mixed(state, words) {
  let [a, b, c, d, e, f, g, h] = state;
  for (let i = 0; i < 64; i += 1) {
    const one = (h + (turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)) + ((e & f) ^ (~e & g)) + DIGEST_ROUNDS[i] + words[i]) | 0;
    const two = ((turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
  }
  [a, b, c, d, e, f, g, h].forEach((value, i) => { state[i] += value; });
}

// So many joints drawn by a seed: weighted, without replacement, the same on every machine.
function drawn(seed, count) {
  const pool = [];
  for (let row = 0; row < joints.count; row += 1) {
    const weight = word("weight", row);
    if (!weight) continue;
    const [high, low] = digestStart(`${seed}|${joints.number[row]}`);
    const u = Number((BigInt(high) << 32n) + BigInt(low) + 1n) / 18446744073709551616;
    pool.push([-Math.log(u) / weight, row]);
  }
  pool.sort((one, other) => one[0] - other[0]);
  return pool.slice(0, count).map(([, row]) => row);
}
