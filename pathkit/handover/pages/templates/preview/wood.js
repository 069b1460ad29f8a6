// The wood: how deep each dot of it is cut so far. The parts of this script run one after the other, as one function.
const wood = new Uint8Array(W * H), trace = new Uint8Array(W * H), dirty = [W, H, -1, -1];
const soil = (x0, y0, x1, y1) => {
  if (x0 < dirty[0]) dirty[0] = x0;
  if (y0 < dirty[1]) dirty[1] = y0;
  if (x1 > dirty[2]) dirty[2] = x1;
  if (y1 > dirty[3]) dirty[3] = y1;
};
const sweep = (ax, ay, bx, by, r, level) => {
  const y0 = Math.max(0, Math.ceil(Math.min(ay, by) - r - 0.5)), y1 = Math.min(H - 1, Math.floor(Math.max(ay, by) + r - 0.5));
  if (y1 < y0) return;
  const rr = r * r, dx = bx - ax, dy = by - ay, length = Math.sqrt(dx * dx + dy * dy), ex = length ? (-dy / length) * r : 0, ey = length ? (dx / length) * r : 0;
  let least = W, most = -1;
  for (let y = y0; y <= y1; y++) {
    const c = y + 0.5;
    let lo = Infinity, hi = -Infinity, q = rr - (c - ay) * (c - ay);
    if (q >= 0) { q = Math.sqrt(q); lo = ax - q; hi = ax + q; }
    q = rr - (c - by) * (c - by);
    if (q >= 0) { q = Math.sqrt(q); if (bx - q < lo) lo = bx - q; if (bx + q > hi) hi = bx + q; }
    if (dy !== 0) {
      let t = (c - ay - ey) / dy, x = ax + ex + t * dx;
      if (t >= 0 && t <= 1) { if (x < lo) lo = x; if (x > hi) hi = x; }
      t = (c - ay + ey) / dy; x = ax - ex + t * dx;
      if (t >= 0 && t <= 1) { if (x < lo) lo = x; if (x > hi) hi = x; }
    }
    const x0 = Math.max(0, Math.ceil(lo - 0.5)), x1 = Math.min(W - 1, Math.floor(hi - 0.5));
    if (x0 < least) least = x0;
    if (x1 > most) most = x1;
    for (let k = y * W + x0, end = y * W + x1; k <= end; k++) if (wood[k] < level) wood[k] = level;
  }
  if (most >= least) soil(least, y0, most, y1);
};
const cut = (i, from, to) => {
  if (beam) {
    const r = Math.max(radiusAt(i) * scale, 0.6), level = levelOf(POWER[i]);
    if (burns(i)) along(i, from, to, (x, y, z, a, b) => sweep(U(x), V(y), U(a), V(b), r, level));
    return;
  }
  const form = formAt(i);
  along(i, from, to, (x, y, z, a, b, c) => {
    const first = board.top - z, last = board.top - c;
    if (first <= 0 && last <= 0) return;
    const ux = U(x), uy = V(y), du = U(a) - ux, dv = V(b) - uy;
    // Sloping moves in pieces of one shade each, no shorter than a dot.
    const pieces = Math.max(1, Math.min(Math.abs(levelOf(first) - levelOf(last)), Math.ceil(Math.hypot(du, dv))));
    for (let p = 0; p < pieces; p++) {
      const s = p / pieces, e = (p + 1) / pieces, depth = Math.max(first + s * (last - first), first + e * (last - first));
      if (depth <= 0) continue;
      for (const [r, lift] of form(depth)) {
        sweep(ux + s * du, uy + s * dv, ux + e * du, uy + e * dv, Math.max(r * scale, 0.6), levelOf(depth - lift));
      }
    }
  });
};
const scratch = (x, y, z, a, b) => {
  let ux = U(x), uy = V(y);
  const du = U(a) - ux, dv = V(b) - uy, k = Math.ceil(Math.max(Math.abs(du), Math.abs(dv)));
  if (!k || k > 100000) return;
  soil(Math.max(0, Math.min(ux, ux + du) | 0), Math.max(0, Math.min(uy, uy + dv) | 0), Math.min(W - 1, Math.max(ux, ux + du) | 0), Math.min(H - 1, Math.max(uy, uy + dv) | 0));
  for (let p = 0; p <= k; p++) {
    const px = (ux + (du * p) / k) | 0, py = (uy + (dv * p) / k) | 0;
    if (px >= 0 && py >= 0 && px < W && py < H) trace[py * W + px] = 1;
  }
};
const pass = (i, from, to) => {
  if (i === 0 || KIND[i] === START) return;
  if (idle(i)) along(i, from, to, scratch);
  cut(i, from, to);
};

const now = { row: 0, share: 1, time: 0 };
const effort = (i) => {
  if (i === 0 || KIND[i] === START) return 0;
  const r = Math.max(radiusAt(i) * scale, 0.6), length = Math.hypot(X[i] - X[i - 1], Y[i] - Y[i - 1]) + (ARC[i] >= 0 ? Math.abs(SWEEP[ARC[i]]) * radiusOf(i) : 0);
  return 40 + 2 * r * (length * scale + 2 * r);
};
const radiusOf = (i) => Math.hypot(X[i] - CX[ARC[i]], Y[i] - CY[ARC[i]]);
const rowAt = (time) => {
  let a = 1, b = n - 1;
  while (a < b) { const m = (a + b) >> 1; if (T1[m] > time) b = m; else a = m + 1; }
  return Math.min(a, n - 1);
};
const shareAt = (i, time) => (T1[i] <= T0[i] ? +(time >= T1[i]) : Math.min(1, Math.max(0, (time - T0[i]) / (T1[i] - T0[i]))));
// On to a share of a row; false if the clock ran out first, and it stopped after some whole row.
const advance = (row, share, until) => {
  for (let count = 0; now.row < row; count++) {
    if (now.share < 1) pass(now.row, now.share, 1);
    now.row++; now.share = 0;
    if (now.row < row) { pass(now.row, 0, 1); now.share = 1; }
    if (until && (count & 31) === 31 && performance.now() > until) return false;
  }
  if (share > now.share) { pass(row, now.share, share); now.share = share; }
  return true;
};
const kept = [{ row: 0, wood: null }];
const restore = (row) => {
  const at = kept.findLast((each) => each.row <= row);
  if (at.wood) wood.set(at.wood); else wood.fill(0);
  trace.fill(0);
  now.row = at.row; now.share = 1;
  for (let i = 1; i <= at.row; i++) if (idle(i)) along(i, 0, 1, scratch);
  soil(0, 0, W - 1, H - 1);
};
const seek = (time, until = 0) => {
  time = time > total - 0.5 / about.perSecond ? total : Math.max(0, time);
  const row = rowAt(time), share = shareAt(row, time);
  if (row < now.row || (row === now.row && share < now.share)) restore(row - 1);
  // Playing past one is less work than going back to it.
  else if (kept.filter((each) => each.row > now.row && each.row < row).length > 1) restore(row - 1);
  const there = advance(row, share, until);
  now.time = there ? time : T1[now.row];
  return there;
};
