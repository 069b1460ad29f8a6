"use strict";
(async () => {
  const el = (id) => document.getElementById(id);
  const about = JSON.parse(el("about").textContent);
  const { board, bits, files, shades, point } = about;
  const texts = JSON.parse(el("texts").textContent);
  // Values are put in once, and never read as a text with places of its own.
  const word = (name, values = {}) => texts[`watch-${name}`].replace(/\{(\w+)\}/g, (place, key) => values[key] ?? place);
  const figure = (number) => String(number).replace(".", point);

  // --- what the page carries -----------------------------------------------------------------------------------
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
  // The last row up to each that ended in the wood.
  const CUT = new Int32Array(n);
  for (let i = 1; i < n; i++) CUT[i] = Z[i] < board.top ? i : CUT[i - 1];
  const TRAVEL = 0, START = 3;
  const starts = [0];
  for (let i = 0; i < text.length; i++) if (text[i] === 10) starts.push(i + 1);
  const words = new TextDecoder("utf-8");
  const lineText = (k) => words.decode(text.subarray(starts[k - 1], k < starts.length ? starts[k] - 1 : text.length));
  const fileOf = [];
  files.reduce((first, file, k) => { fileOf.push({ ...file, first, number: k }); return first + file.lines; }, 0);
  const fileAt = (line) => fileOf.findLast((file) => file.first < line) || fileOf[0];
  const total = Math.max(about.total, T1[n - 1], 1 / about.perSecond);

  // --- where things are ----------------------------------------------------------------------------------------
  const box = board.known ? [0, 0, board.width, board.depth] : [Infinity, Infinity, -Infinity, -Infinity];
  let deepest = 0.05;
  for (let i = 1; i < n; i++) {
    deepest = Math.max(deepest, board.top - Z[i]);
    if (board.known && Z[i] >= board.top) continue;
    box[0] = Math.min(box[0], X[i]); box[1] = Math.min(box[1], Y[i]); box[2] = Math.max(box[2], X[i]); box[3] = Math.max(box[3], Y[i]);
  }
  if (box[2] < box[0]) box.splice(0, 4, 0, 0, 1, 1);
  const room = 0.05 * Math.max(box[2] - box[0], box[3] - box[1], 1);
  const left = box[0] - room, high = box[3] + room, wide = box[2] - box[0] + 2 * room, tall = box[3] - box[1] + 2 * room;
  const scale = 1080 / Math.max(wide, tall), W = Math.max(1, Math.round(wide * scale)), H = Math.max(1, Math.round(tall * scale));
  const U = (x) => (x - left) * scale, V = (y) => (high - y) * scale;
  const STEPS = 254, levelOf = (depth) => (depth <= 0 ? 0 : Math.min(255, 1 + Math.floor((depth / deepest) * STEPS)));
  const depthOf = (level) => ((level - 0.5) / STEPS) * deepest;
  // Shades go down to the deepest cut, or to the underside where cuts go through.
  const THROUGH = board.known && deepest >= board.thickness ? levelOf(board.thickness) : 256;
  const darkest = board.known ? Math.min(deepest, board.thickness) : deepest;

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

  // --- the wood: how deep each dot of it is cut so far ---------------------------------------------------------
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
    if (KIND[i] === TRAVEL) along(i, from, to, scratch);
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
    for (let i = 1; i <= at.row; i++) if (KIND[i] === TRAVEL) along(i, 0, 1, scratch);
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

  // --- drawing -------------------------------------------------------------------------------------------------
  const COLOUR = { wood: "#efe0c4", bed: "#f1f4f4", spoil: "#c3cacc", through: "#0d1018", travel: "#a3471f", ink: "#22303a" };
  const rgb = (hex) => [1, 3, 5].map((k) => parseInt(hex.slice(k, k + 2), 16));
  const mixed = (a, b, part) => a.map((value, k) => Math.round(value + part * (b[k] - value)));
  const packed = ([r, g, b]) => (255 << 24) | (b << 16) | (g << 8) | r;
  const shadeOf = (level) => {
    if (level >= THROUGH) return COLOUR.through;
    return shades[Math.min(shades.length - 1, Math.max(0, Math.floor((depthOf(level) / darkest) * shades.length)))];
  };
  const pale = Array.from({ length: 256 }, (_, level) => `rgb(${mixed([255, 255, 255], rgb(shadeOf(level)), 0.18).join(" ")})`);
  const inside = new Uint32Array(512), outside = new Uint32Array(512);
  for (let level = 0; level < 256; level++) {
    const own = rgb(level ? shadeOf(level) : COLOUR.wood), off = rgb(level ? (board.known ? COLOUR.spoil : shadeOf(level)) : COLOUR.bed), line = rgb(COLOUR.travel);
    inside[level] = packed(own); outside[level] = packed(off);
    inside[256 + level] = packed(mixed(own, line, 0.6)); outside[256 + level] = packed(mixed(off, line, 0.6));
  }
  const canvas = el("wood"), over = el("over"), side = el("side");
  canvas.width = W; canvas.height = H;
  el("stage").style.aspectRatio = `${W} / ${H}`;
  // A board that lies lengthwise before its operator must fit the screen.
  el("views").style.maxWidth = `max(17rem, ${((78 * W) / H).toFixed(2)}vh)`;
  const pen = canvas.getContext("2d", { willReadFrequently: true }), top = over.getContext("2d"), front = side.getContext("2d");
  const picture = pen.createImageData(W, H), dots = new Uint32Array(picture.data.buffer);
  const edge = board.known ? [U(0), V(board.depth), U(board.width), V(0)].map(Math.round) : [0, 0, 0, 0];
  let showTravel = true;
  const paint = () => {
    const [x0, y0, x1, y1] = dirty;
    if (x1 < x0 || y1 < y0) return;
    for (let y = y0; y <= y1; y++) {
      const on = y >= edge[1] && y < edge[3];
      for (let x = x0, k = y * W + x0; x <= x1; x++, k++) {
        const at = wood[k] + (showTravel && trace[k] ? 256 : 0);
        dots[k] = on && x >= edge[0] && x < edge[2] ? inside[at] : outside[at];
      }
    }
    pen.putImageData(picture, 0, 0, x0, y0, x1 - x0 + 1, y1 - y0 + 1);
    dirty[0] = W; dirty[1] = H; dirty[2] = dirty[3] = -1;
  };
  let ratio = 1, sharp = 1;
  const fit = () => {
    sharp = Math.min(window.devicePixelRatio || 1, 3);
    for (const each of [over, side]) {
      each.width = Math.max(1, Math.round(each.clientWidth * sharp)); each.height = Math.max(1, Math.round(each.clientHeight * sharp));
    }
    ratio = over.clientWidth / W;
  };
  const FONT = '"DejaVu Sans", "Segoe UI", Arial, sans-serif';
  const badge = (pin, x, y) => {
    top.beginPath(); top.arc(x, y, 9, 0, 7);
    top.fillStyle = { error: "#8c2f12", warning: "#8a5f00" }[pin.severity] || "#5d6b73";
    top.fill(); top.lineWidth = 1.5; top.strokeStyle = "#fff"; top.stroke();
    top.fillStyle = "#fff"; top.fillText(pin.number, x, y + 0.5);
  };
  const TAIL = 8;
  const drawTop = () => {
    top.setTransform(sharp, 0, 0, sharp, 0, 0);
    top.clearRect(0, 0, over.clientWidth, over.clientHeight);
    const u = (x) => U(x) * ratio, v = (y) => V(y) * ratio, i = now.row;
    if (board.known) {
      top.strokeStyle = "#7b6136"; top.lineWidth = 1.5;
      top.strokeRect(u(0), v(board.depth), u(board.width) - u(0), v(0) - v(board.depth));
    }
    if (now.time < total) {
      top.lineJoin = top.lineCap = "round";
      for (const [width, colour] of [[3, "#ffffffb0"], [1.2, COLOUR.ink]]) {
        top.beginPath(); top.lineWidth = width; top.strokeStyle = colour;
        for (let k = Math.max(1, i - TAIL); k <= i; k++) {
          if (KIND[k] === START) continue;
          along(k, 0, k < i ? 1 : now.share, (x, y, z, a, b) => { top.moveTo(u(x), v(y)); top.lineTo(u(a), v(b)); });
        }
        top.stroke();
      }
    }
    top.font = `700 11px ${FONT}`; top.textAlign = "center"; top.textBaseline = "middle";
    // Side by side where several are at one place.
    const taken = new Map();
    for (const pin of pins) {
      if (pin.row === null) continue;
      const px = u(X[pin.row]), py = v(Y[pin.row]), place = `${Math.round(px / 20)} ${Math.round(py / 20)}`, before = taken.get(place) || 0;
      taken.set(place, before + 1);
      badge(pin, px + 19 * before, py);
    }
    const [x, y, z] = place(i, now.share), r = Math.max(radiusAt(i) * scale * ratio, 4), low = z < board.top;
    top.beginPath(); top.arc(u(x), v(y), r, 0, 7);
    top.fillStyle = low ? "#ffffff40" : "#ffffffa0"; top.fill();
    top.lineWidth = 4.5; top.strokeStyle = "#fff"; top.stroke();
    top.lineWidth = 2; top.strokeStyle = low ? COLOUR.ink : COLOUR.travel; top.stroke();
    top.beginPath(); top.arc(u(x), v(y), 1.6, 0, 7); top.fillStyle = low ? COLOUR.ink : COLOUR.travel; top.fill();
  };
  const ABOVE = 6;
  const drawSide = () => {
    const wide = side.clientWidth, tall = side.clientHeight;
    front.setTransform(sharp, 0, 0, sharp, 0, 0);
    front.clearRect(0, 0, wide, tall);
    const [x, y, z] = place(now.row, now.share), bed = board.top - board.thickness - board.underlay;
    const whole = Math.max(deepest, board.known ? board.thickness : 0), zHigh = board.top + Math.max(ABOVE, 0.35 * whole), zLow = Math.min(bed, board.top - deepest) - 0.06 * whole, span = (tall - 8) / (zHigh - zLow);
    const h = (height) => 4 + (zHigh - height) * span, u = (value) => U(value) * ratio, row = Math.min(H - 1, Math.max(0, Math.floor(V(z < board.top ? y : Y[CUT[now.row]]))));
    const x0 = board.known ? edge[0] : 0, x1 = board.known ? edge[2] : W, base = board.top - (board.known ? board.thickness : deepest);
    if (board.known && board.underlay) { front.fillStyle = "#d9d3c7"; front.fillRect(x0 * ratio, h(base), (x1 - x0) * ratio, h(bed) - h(base)); }
    const dot = (value) => Math.round(value * ratio * sharp) / sharp;
    front.fillStyle = COLOUR.wood; front.fillRect(dot(x0), h(board.top), dot(x1) - dot(x0), h(base) - h(board.top));
    for (let a = x0, k = row * W; a < x1;) {
      const level = wood[k + a];
      let b = a + 1;
      while (b < x1 && wood[k + b] === level) b++;
      const ground = level ? Math.max(board.top - depthOf(level), level >= THROUGH ? zLow : base) : board.top;
      if (level) {
        const w = dot(b) - dot(a);
        front.fillStyle = pale[level]; front.fillRect(dot(a), h(board.top), w, h(ground) - h(board.top));
        front.fillStyle = shadeOf(level); front.fillRect(dot(a), h(ground) - 1, w, 3);
      }
      a = b;
    }
    front.strokeStyle = "#7b6136"; front.lineWidth = 1;
    const rule = (height) => { front.beginPath(); front.moveTo(x0 * ratio, h(height)); front.lineTo(x1 * ratio, h(height)); front.stroke(); };
    front.setLineDash([3, 3]); rule(board.top); front.setLineDash([]);
    if (board.known) { rule(base); front.strokeStyle = "#9aa6a8"; front.lineWidth = 2; rule(bed); }
    // The bit: its tip as the wood sees it, its shank up to the edge of the picture.
    const r = Math.max(radiusAt(now.row), 1.5 / (scale * ratio)), bit = bits[BIT[now.row]], tip = h(Math.min(z, zHigh - 1));
    const grow = bit && bit.flare ? r / bit.flare : bit && bit.kind === "ball" ? r : 0;
    front.beginPath(); front.moveTo(u(x - r), -4); front.lineTo(u(x - r), tip - grow * span);
    if (grow && bit.kind === "ball") front.ellipse(u(x), tip - grow * span, r * scale * ratio, grow * span, 0, Math.PI, 0, true);
    else if (grow) front.lineTo(u(x), tip);
    else front.lineTo(u(x - r), tip);
    front.lineTo(u(x + r), tip - grow * span); front.lineTo(u(x + r), -4);
    front.fillStyle = "#5d6b73b0"; front.fill(); front.lineWidth = 1.5; front.strokeStyle = z < board.top ? COLOUR.ink : COLOUR.travel; front.stroke();
    const times = span / (scale * ratio);
    say("n-side", word(z < board.top ? "cut-is" : "cut-last", { times: figure(times < 10 ? times.toFixed(1) : Math.round(times)) }));
    front.fillStyle = "#5d6b73"; front.font = `11px ${FONT}`; front.textBaseline = "alphabetic";
    if (z > zHigh) { front.textAlign = u(x) > wide / 2 ? "right" : "left"; front.fillText(word("above-board", { mm: figure((z - board.top).toFixed(1)) }), u(x) + (u(x) > wide / 2 ? -1 : 1) * (r * scale * ratio + 5), 14); }
  };

  // --- words ---------------------------------------------------------------------------------------------------
  const twoDigits = (value) => String(value).padStart(2, "0");
  const clock = (seconds) => {
    const fine = total < 120 ? 10 : 1, s = Math.floor(seconds * fine + 1e-6) / fine, m = Math.floor(s / 60), rest = fine > 1 ? figure((s % 60).toFixed(1).padStart(4, "0")) : twoDigits(Math.floor(s % 60));
    return m < 60 ? `${m}:${rest}` : `${Math.floor(m / 60)}:${twoDigits(m % 60)}:${rest}`;
  };
  const say = (id, words) => { const node = el(id); if (node.textContent !== words) node.textContent = words; };
  const AROUND = 3, code = [];
  for (let k = -AROUND; k <= AROUND; k++) {
    const item = document.createElement("li"), number = document.createElement("b"), words = document.createElement("span");
    if (!k) { item.className = "here"; item.setAttribute("aria-current", "true"); }
    item.append(number, words); el("code").append(item); code.push([k, number, words]);
  }
  let said = -1, saidAt = 0;
  const DOING = ["travels", "straight", "arc"];
  const tell = () => {
    const i = now.row, line = LINE[i], file = fileAt(Math.max(line, 1)), [, , z] = place(i, now.share), depth = board.top - z, bit = bits[BIT[i]];
    const own = line ? line - file.first : 0, ended = now.time >= total;
    say("n-time", word("of", { part: clock(now.time), whole: clock(total) }));
    say("n-line", own ? word("of", { part: own, whole: file.lines }) : "–");
    say("n-bit", bit ? (/mm|"/.test(bit.name) ? bit.name : word("bit", { name: bit.name, mm: figure(+bit.diameter.toFixed(3)) })) : word("not-known"));
    say("n-depth", word(depth > 0 ? "mm" : "above", { mm: figure(Math.abs(depth).toFixed(2)) }));
    say("n-feed", KIND[i] === TRAVEL || KIND[i] === START || !FEED[i] ? word("as-fast") : word("feed", { feed: Math.round(FEED[i]) }));
    const what = now.time < T0[i] - 1e-6 ? "stands" : KIND[i] === START ? "between-files" : depth <= 0 && KIND[i] !== TRAVEL ? "moves-above" : DOING[KIND[i]];
    say("n-what", word(ended ? "finished" : what));
    say("n-file", PATH[i] >= 0 ? word("file-toolpath", { file: file.name, toolpath: about.names[PATH[i]] }) : file.name);
    const slider = el("time");
    slider.value = now.time; slider.setAttribute("aria-valuetext", word(own ? "of-line" : "of", { part: clock(now.time), whole: clock(total), line: own }));
    if (said === line) return;
    said = line;
    for (const [k, number, words] of code) {
      const there = line && line + k > file.first && line + k <= file.first + file.lines;
      number.textContent = there ? own + k : ""; words.textContent = there ? lineText(line + k) : "";
    }
  };
  const show = (all = true) => {
    paint(); drawTop(); drawSide();
    if (all || performance.now() - saidAt > 80) { saidAt = performance.now(); tell(); }
  };

  // --- what people do ------------------------------------------------------------------------------------------
  const pins = about.findings.map((found, k) => {
    if (found.line === null) return { ...found, row: null, number: k + 1 };
    const line = fileOf[found.file].first + found.line;
    let row = LINE.findIndex((each) => each >= line);
    if (row < 0) row = n - 1;
    return { ...found, row, number: k + 1 };
  });
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  let playing = false, last = 0, drawn = 0, rate = 1, ready = false, wanted = null;
  const setPlaying = (on) => {
    playing = on && ready;
    el("play").setAttribute("aria-label", word(playing ? "pause" : "play"));
    el("sign").setAttribute("d", playing ? "M4 3H8V17H4ZM12 3H16V17H12Z" : "M5 3L17 10L5 17Z");
    if (!playing) return;
    if (now.time >= total) go(0);
    last = performance.now();
    requestAnimationFrame(frame);
  };
  const BUDGET = 4, CALM = 500;
  const frame = (at) => {
    if (!playing) return;
    // Where motion is not wanted, a picture now and then.
    if (calm.matches && at - drawn < CALM) { requestAnimationFrame(frame); return; }
    const passed = Math.min(Math.max(at - last, 0), calm.matches ? 2 * CALM : 100) / 1000;
    last = drawn = at;
    seek(now.time + passed * rate, performance.now() + BUDGET);
    const over = now.time >= total;
    show(over);
    if (over) setPlaying(false); else requestAnimationFrame(frame);
  };
  const go = (time) => {
    if (!ready) { wanted = time; return; }
    seek(time); show();
  };
  // The time at which a row begins to move; a row that takes no time is passed over.
  const byLine = (way) => {
    const line = LINE[now.row];
    let k = now.row + way;
    while (k > 0 && k < n - 1 && (LINE[k] === line || T1[k] <= T0[k] || KIND[k] === START)) k += way;
    while (way < 0 && k > 1 && LINE[k - 1] === LINE[k]) k--;
    go(k <= 0 ? 0 : k >= n - 1 && way > 0 ? (now.row === n - 1 ? total : T0[n - 1]) : T0[k]);
  };
  const slider = el("time");
  slider.max = total;
  slider.addEventListener("input", () => { setPlaying(false); go(+slider.value); });
  el("play").addEventListener("click", () => setPlaying(!playing));
  el("back").addEventListener("click", () => { setPlaying(false); byLine(-1); });
  el("on").addEventListener("click", () => { setPlaying(false); byLine(1); });
  el("travel").addEventListener("change", (event) => { showTravel = event.target.checked; soil(0, 0, W - 1, H - 1); show(); });
  const KEYS = {
    ArrowLeft: () => byLine(-1), ArrowDown: () => byLine(-1), ArrowRight: () => byLine(1), ArrowUp: () => byLine(1),
    PageUp: () => go(now.time + total / 20), PageDown: () => go(now.time - total / 20), Home: () => go(0), End: () => go(total),
  };
  document.addEventListener("keydown", (event) => {
    const on = event.target;
    if (event.altKey || event.ctrlKey || event.metaKey || on.closest("select")) return;
    if (event.key === " " && !on.closest("button, summary, input[type=checkbox]")) { event.preventDefault(); setPlaying(!playing); return; }
    const upright = ["ArrowUp", "ArrowDown", "PageUp", "PageDown"].includes(event.key);
    if (!KEYS[event.key] || (upright && on !== slider)) return;
    event.preventDefault(); setPlaying(false); KEYS[event.key]();
  });
  // A touch of the board leads to the moment when the bit cuts there; the next touch, to the next such moment.
  const REACH = 14;
  over.addEventListener("click", (event) => {
    if (!ready) return;
    const frame = over.getBoundingClientRect(), dot = scale * ratio;
    const px = left + (event.clientX - frame.left) / dot, py = high - (event.clientY - frame.top) / dot;
    const far = new Float32Array(n).fill(Infinity), share = new Float32Array(n);
    let best = Infinity;
    for (let i = 1; i < n; i++) {
      if (KIND[i] === TRAVEL || KIND[i] === START || (Z[i] >= board.top && Z[i - 1] >= board.top)) continue;
      let pieces = 0, where = 0;
      along(i, 0, 1, (x, y, z, a, b) => {
        const dx = a - x, dy = b - y, square = dx * dx + dy * dy, t = square ? Math.min(1, Math.max(0, ((px - x) * dx + (py - y) * dy) / square)) : 0;
        const d = Math.hypot(px - x - t * dx, py - y - t * dy);
        if (d < far[i]) { far[i] = d; where = pieces + t; }
        pieces++;
      });
      share[i] = where / pieces;
      best = Math.min(best, far[i]);
    }
    if (best * dot > Math.max(REACH, radiusAt(now.row) * dot)) return;
    const near = best + 1 / dot, after = (from) => { for (let i = from; i < n; i++) if (far[i] <= near) return i; return -1; };
    let row = after(now.time >= total ? 1 : now.row + 1);
    if (row < 0) row = after(1);
    setPlaying(false);
    go(T0[row] + share[row] * (T1[row] - T0[row]));
  });
  const speed = el("speed");
  const BRIEF = 40;
  speed.append(new Option(word("whole-cut"), total / BRIEF), new Option(word("as-it-runs"), 1));
  for (const times of [4, 16, 64, 256]) speed.append(new Option(word("speed", { times }), times));
  rate = total / BRIEF;
  if (total < BRIEF) { speed.value = "1"; rate = 1; }
  speed.addEventListener("change", () => { rate = +speed.value; });

  const tick = (time, kind) => {
    const mark = document.createElement("i");
    mark.style.left = `${(100 * Math.min(time, total)) / total}%`; mark.className = kind;
    el("ticks").append(mark);
  };
  const listed = (title, kind, entries) => {
    if (!entries.length) return;
    const head = document.createElement("h2"), list = document.createElement("ol");
    head.textContent = title; list.className = kind;
    for (const [mark, sort, words, row] of entries) {
      const item = document.createElement("li"), button = document.createElement(row === null ? "p" : "button"), sign = document.createElement("b"), what = document.createElement("span");
      sign.textContent = mark; sign.className = sort; what.textContent = words;
      if (mark) button.append(sign);
      button.append(what); item.append(button); list.append(item);
      if (row === null) continue;
      button.type = "button";
      button.addEventListener("click", () => { setPlaying(false); go(T0[row]); });
      tick(T0[row], sort);
    }
    el("pins").append(head, list);
  };
  const found = ({ severity, line, file, what }) =>
    word(`found-${severity}${line === null ? "" : files.length > 1 ? "-line-of" : "-line"}`, { line, file: files[file].name, what });
  listed(word("found"), "full", pins.map((pin) => [pin.row === null ? "!" : pin.number, pin.severity, found(pin), pin.row]));
  listed(word("stops"), "brief", about.events.map((event) => ["", "", word("stop", { time: clock(T0[event.row]), what: event.what }), event.row]));

  const key = el("key"), entry = (sign, words) => { const span = document.createElement("span"); span.append(sign, words); key.append(span); };
  const ramp = document.createElement("canvas"), holder = document.createElement("span");
  ramp.width = shades.length; ramp.height = 1;
  shades.forEach((shade, k) => { const brush = ramp.getContext("2d"); brush.fillStyle = shade; brush.fillRect(k, 0, 1, 1); });
  holder.className = "ramp"; holder.append(word("depth-0"), ramp, word("mm", { mm: figure(+darkest.toFixed(2)) }));
  key.append(holder);
  const sign = (name) => { const mark = document.createElement("i"); mark.className = name; return mark; };
  if (THROUGH < 256) entry(sign("hole"), word("through"));
  entry(sign("line"), word("travel")); entry(sign("bit"), word("bit-key"));

  el("watch").hidden = false;
  soil(0, 0, W - 1, H - 1);
  fit();
  new ResizeObserver(() => { fit(); show(); }).observe(el("stage"));
  // The whole cut once, with the wood kept now and then, so that any moment is soon there again.
  const KEEP = (navigator.deviceMemory || 4) < 4 ? 16 : 32, SLICE = 14;
  let work = 0, done = 0;
  for (let i = 1; i < n; i++) work += effort(i);
  let next = work / KEEP, at = 1;
  const prepare = () => {
    const until = performance.now() + SLICE;
    while (at < n) {
      pass(at, 0, 1);
      done += effort(at); now.row = at; now.share = 1; at++;
      if (done >= next && at < n) { kept.push({ row: now.row, wood: wood.slice() }); next += work / KEEP; }
      if ((at & 31) === 0 && performance.now() > until) break;
    }
    now.time = T1[now.row];
    if (at < n) {
      say("busy", word("reading", { percent: Math.floor((100 * done) / work) })); paint();
      setTimeout(prepare);
      return;
    }
    ready = true; now.time = total; say("busy", "");
    document.documentElement.dataset.ready = "yes";
    if (wanted === null) show(); else go(wanted);
  };
  prepare();
})();
