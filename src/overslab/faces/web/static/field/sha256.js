// SHA-256 (FIPS 180-4) for photos: crypto.subtle does not exist on plain http, and one way is enough.

const fraction = (n, root) => Math.floor((n ** (1 / root) % 1) * 2 ** 32) >>> 0;
const PRIMES = [];
for (let n = 2; PRIMES.length < 64; n += 1) if (PRIMES.every((p) => n % p)) PRIMES.push(n);
const K = Uint32Array.from(PRIMES, (p) => fraction(p, 3));
const START = Uint32Array.from(PRIMES.slice(0, 8), (p) => fraction(p, 2));
const turn = (x, by) => (x >>> by) | (x << (32 - by));

export function sha256(bytes) {
  const blocks = Math.ceil((bytes.length + 9) / 64);
  const padded = new Uint8Array(blocks * 64);
  padded.set(bytes);
  padded[bytes.length] = 0x80;
  const view = new DataView(padded.buffer);
  view.setUint32(padded.length - 8, Math.floor(bytes.length / 2 ** 29));
  view.setUint32(padded.length - 4, (bytes.length << 3) >>> 0);
  const state = START.slice();
  const w = new Uint32Array(64);
  for (let block = 0; block < blocks; block += 1) {
    for (let i = 0; i < 16; i += 1) w[i] = view.getUint32(block * 64 + i * 4);
    for (let i = 16; i < 64; i += 1) {
      const a = turn(w[i - 15], 7) ^ turn(w[i - 15], 18) ^ (w[i - 15] >>> 3);
      const b = turn(w[i - 2], 17) ^ turn(w[i - 2], 19) ^ (w[i - 2] >>> 10);
      w[i] = (w[i - 16] + a + w[i - 7] + b) | 0;
    }
    let [a, b, c, d, e, f, g, h] = state;
    for (let i = 0; i < 64; i += 1) {
      const big = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25);
      const one = (h + big + ((e & f) ^ (~e & g)) + K[i] + w[i]) | 0;
      const small = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22);
      const two = (small + ((a & b) ^ (a & c) ^ (b & c))) | 0;
      [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
    }
    [a, b, c, d, e, f, g, h].forEach((value, i) => {
      state[i] = (state[i] + value) | 0;
    });
  }
  return Array.from(state, (n) => n.toString(16).padStart(8, "0")).join("");
}
