// What the page carries. The parts of this script run one after the other, as one function.
const el = (id) => document.getElementById(id);
const about = JSON.parse(el("about").textContent);
const { board, bits, files, shades, point, beam } = about;
const texts = JSON.parse(el("texts").textContent);
// Values are put in once, and never read as a text with places of its own.
const word = (name, values = {}) => texts[`watch-${name}`].replace(/\{(\w+)\}/g, (place, key) => values[key] ?? place);
const figure = (number) => String(number).replace(".", point);
// What is told in the units of the file; all else counts in mm.
const inches = about.units === "inch", MM = inches ? 25.4 : 1, unit = inches ? "in" : "mm";
const rounded = (mm, digits) => (mm / MM).toFixed(inches ? digits + 1 : digits);
const size = (mm, digits) => `${figure(rounded(mm, digits))} ${unit}`;
const shortSize = (mm, digits) => `${figure(+rounded(mm, digits))} ${unit}`;
const feedOf = (mm) => `${inches ? figure((mm / MM).toFixed(1)) : Math.round(mm)} ${unit}/min`;

const bytesOf = (id) => {
  const text = atob(el(id).textContent), out = new Uint8Array(text.length);
  for (let i = 0; i < out.length; i++) out[i] = text.charCodeAt(i);
  el(id).textContent = "";
  return out;
};
const whole = async (id) => {
  const data = bytesOf(id);
  if (typeof DecompressionStream === "undefined") return inflate(data);
  const stream = new Blob([data]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
};
// One column after the other; of each the lowest bytes of all differences first.
const column = (data, k, n, scale, Kind) => {
  const out = new Kind(n), base = 4 * k * n;
  for (let i = 0, sum = 0; i < n; i++) {
    sum += data[base + i] | (data[base + n + i] << 8) | (data[base + 2 * n + i] << 16) | (data[base + 3 * n + i] << 24);
    out[i] = sum / scale;
  }
  return out;
};
const [moves, bends, text] = [await whole("moves"), await whole("arcs"), await whole("text")];
const n = about.rows, mm = about.perMm;
const [X, Y, Z] = [0, 1, 2].map((k) => column(moves, k, n, mm, Float32Array));
const [T0, T1] = [3, 4].map((k) => column(moves, k, n, about.perSecond, Float64Array));
const KIND = column(moves, 5, n, 1, Uint8Array), FEED = column(moves, 6, n, 1, Float32Array);
const [LINE, BIT, PATH] = [7, 8, 9].map((k) => column(moves, k, n, 1, Int32Array));
const [CX, CY, SWEEP] = [mm, mm, about.perRadian].map((scale, k) => column(bends, k, about.arcs, scale, Float64Array));
const ARC = new Int32Array(n);
for (let i = 0, a = 0; i < n; i++) ARC[i] = KIND[i] === 2 ? a++ : -1;
const POWER = beam ? column(moves, 10, n, about.perPower, Float32Array) : null;
// The last row up to each that ended in the wood.
const CUT = new Int32Array(n);
for (let i = 1; i < n; i++) CUT[i] = Z[i] < board.top ? i : CUT[i - 1];
const TRAVEL = 0, START = 3;
// A beam burns where it is on, at whatever height.
const burns = (i) => beam && KIND[i] !== TRAVEL && KIND[i] !== START && POWER[i] > 0;
// Moves that leave the board as it is, whether as fast as the machine can or at a feed.
const idle = (i) => KIND[i] === TRAVEL || (KIND[i] !== START && (beam ? !burns(i) : Z[i] >= board.top && Z[i - 1] >= board.top));
const starts = [0];
for (let i = 0; i < text.length; i++) if (text[i] === 10) starts.push(i + 1);
const words = new TextDecoder("utf-8");
const lineText = (k) => words.decode(text.subarray(starts[k - 1], k < starts.length ? starts[k] - 1 : text.length));
const fileOf = [];
files.reduce((first, file, k) => { fileOf.push({ ...file, first, number: k }); return first + file.lines; }, 0);
const fileAt = (line) => fileOf.findLast((file) => file.first < line) || fileOf[0];
const total = Math.max(about.total, T1[n - 1], 1 / about.perSecond);
