// Where things are. The parts of this script run one after the other, as one function.
const box = board.known ? [0, 0, board.width, board.depth] : [Infinity, Infinity, -Infinity, -Infinity];
let deepest = 0.05;
for (let i = 1; i < n; i++) {
  deepest = Math.max(deepest, board.top - Z[i]);
  if (board.known && (beam ? !burns(i) : Z[i] >= board.top)) continue;
  box[0] = Math.min(box[0], X[i]); box[1] = Math.min(box[1], Y[i]); box[2] = Math.max(box[2], X[i]); box[3] = Math.max(box[3], Y[i]);
}
if (box[2] < box[0]) box.splice(0, 4, 0, 0, 1, 1);
const room = 0.05 * Math.max(box[2] - box[0], box[3] - box[1], 1);
const left = box[0] - room, high = box[3] + room, wide = box[2] - box[0] + 2 * room, tall = box[3] - box[1] + 2 * room;
const scale = 1080 / Math.max(wide, tall), W = Math.max(1, Math.round(wide * scale)), H = Math.max(1, Math.round(tall * scale));
const U = (x) => (x - left) * scale, V = (y) => (high - y) * scale;
// A beam is shaded by its power, from none to the most that the page has.
let strongest = 0.001;
for (let i = 1; i < n; i++) if (burns(i)) strongest = Math.max(strongest, POWER[i]);
if (beam) deepest = strongest;
const STEPS = 254, levelOf = (depth) => (depth <= 0 ? 0 : Math.min(255, 1 + Math.floor((depth / deepest) * STEPS)));
const depthOf = (level) => ((level - 0.5) / STEPS) * deepest;
// Shades go down to the deepest cut, or to the underside where cuts go through.
const THROUGH = !beam && board.known && deepest >= board.thickness ? levelOf(board.thickness) : 256;
const darkest = board.known && !beam ? Math.min(deepest, board.thickness) : deepest;

// A bit as rings from outside to inside: how wide, and how much higher than its tip.
const RINGS = 6;
const formOf = (bit) => {
  const r = bit ? bit.diameter / 2 : 0.5;
  if (!bit || !(bit.flare || bit.kind === "ball")) return () => [[r, 0]];
  const lift = bit.flare ? (x) => x / bit.flare : (x) => r - Math.sqrt(Math.max(0, r * r - x * x));
  const reach = bit.flare ? (depth) => Math.min(r, depth * bit.flare) : (depth) => (depth < r ? Math.sqrt(depth * (2 * r - depth)) : r);
  return (depth) => {
    const most = reach(depth), k = Math.max(1, Math.min(RINGS, Math.ceil(most * scale)));
    return Array.from({ length: k }, (_, j) => [(most * (k - j)) / k, lift((most * (k - j - 0.5)) / k)]);
  };
};
const forms = bits.map(formOf), unknown = formOf(null), formAt = (i) => forms[BIT[i]] || unknown;
const radiusAt = (i) => (bits[BIT[i]] ? bits[BIT[i]].diameter / 2 : 0.5);

const spot = [0, 0, 0];
const place = (i, share) => {
  const a = Math.max(i - 1, 0);
  if (i === 0 || KIND[i] === START || share >= 1) { spot[0] = X[i]; spot[1] = Y[i]; spot[2] = Z[i]; return spot; }
  spot[2] = Z[a] + share * (Z[i] - Z[a]);
  if (ARC[i] >= 0) {
    const k = ARC[i], c = Math.cos(share * SWEEP[k]), s = Math.sin(share * SWEEP[k]), dx = X[a] - CX[k], dy = Y[a] - CY[k];
    spot[0] = CX[k] + c * dx - s * dy; spot[1] = CY[k] + s * dx + c * dy;
  } else { spot[0] = X[a] + share * (X[i] - X[a]); spot[1] = Y[a] + share * (Y[i] - Y[a]); }
  return spot;
};
// Along a move between two shares of it, in straight pieces of less than a quarter of a dot off.
const along = (i, from, to, visit) => {
  let pieces = 1;
  if (ARC[i] >= 0) {
    const k = ARC[i], r = Math.max(Math.hypot(X[i] - CX[k], Y[i] - CY[k]) * scale, 0.5);
    pieces = Math.max(1, Math.ceil((Math.abs(SWEEP[k]) * (to - from)) / (2 * Math.acos(1 - Math.min(0.25 / r, 1)))));
  }
  let [x, y, z] = place(i, from);
  for (let p = 1; p <= pieces; p++) {
    const [a, b, c] = place(i, from + ((to - from) * p) / pieces);
    visit(x, y, z, a, b, c);
    x = a; y = b; z = c;
  }
};
