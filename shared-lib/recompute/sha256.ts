/**
 * SHA-256 of bytes, in hex, by FIPS 180-4. Own, since this part knows neither Node nor a page, and what it is in for has to run
 * from one file.
 */
export function sha256(bytes: Uint8Array): string {
  const state = Uint32Array.from(initial);
  const words = new Uint32Array(64);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const whole = bytes.byteLength - (bytes.byteLength % BLOCK_BYTES);
  for (let at = 0; at < whole; at += BLOCK_BYTES) addBlock(state, words, view, at);

  // A one bit, zeros, and the length in bits fill up one block or two.
  const left = bytes.byteLength - whole;
  const last = new Uint8Array(left + 9 > BLOCK_BYTES ? 2 * BLOCK_BYTES : BLOCK_BYTES);
  last.set(bytes.subarray(whole));
  last[left] = 0x80;
  const lastView = new DataView(last.buffer);
  lastView.setUint32(last.byteLength - 8, Math.floor(bytes.byteLength / 2 ** 29));
  lastView.setUint32(last.byteLength - 4, (bytes.byteLength * 8) >>> 0);
  for (let at = 0; at < last.byteLength; at += BLOCK_BYTES) addBlock(state, words, lastView, at);
  return [...state].map((word) => word.toString(16).padStart(8, '0')).join('');
}

const BLOCK_BYTES = 64;

/** Fractional parts of the square roots of the first 8 and the cube roots of the first 64 primes. */
const initial = [
  0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19,
];
const constants = Uint32Array.from([
  0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5, 0xd807aa98,
  0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174, 0xe49b69c1, 0xefbe4786,
  0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da, 0x983e5152, 0xa831c66d, 0xb00327c8,
  0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967, 0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13,
  0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85, 0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819,
  0xd6990624, 0xf40e3585, 0x106aa070, 0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a,
  0x5b9cca4f, 0x682e6ff3, 0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7,
  0xc67178f2,
]);

function addBlock(state: Uint32Array, words: Uint32Array, view: DataView, at: number): void {
  for (let i = 0; i < 16; i += 1) words[i] = view.getUint32(at + 4 * i);
  for (let i = 16; i < 64; i += 1) {
    const early = words[i - 15] ?? 0;
    const late = words[i - 2] ?? 0;
    const small = turn(early, 7) ^ turn(early, 18) ^ (early >>> 3);
    const large = turn(late, 17) ^ turn(late, 19) ^ (late >>> 10);
    words[i] = (words[i - 16] ?? 0) + small + (words[i - 7] ?? 0) + large;
  }
  let [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0] = state;
  for (let i = 0; i < 64; i += 1) {
    const first =
      (h +
        (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) +
        ((e & f) ^ (~e & g)) +
        (constants[i] ?? 0) +
        (words[i] ?? 0)) |
      0;
    const second = ((turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    h = g;
    g = f;
    f = e;
    e = (d + first) | 0;
    d = c;
    c = b;
    b = a;
    a = (first + second) | 0;
  }
  [a, b, c, d, e, f, g, h].forEach((word, i) => {
    state[i] = (state[i] ?? 0) + word;
  });
}

function turn(word: number, bits: number): number {
  return (word >>> bits) | (word << (32 - bits));
}
