// Drawing. The parts of this script run one after the other, as one function.
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
const canvas = el("wood"), over = el("over"), side = beam ? null : el("side");
canvas.width = W; canvas.height = H;
el("stage").style.aspectRatio = `${W} / ${H}`;
// A board that lies lengthwise before its operator must fit the screen.
el("views").style.maxWidth = `max(17rem, ${((78 * W) / H).toFixed(2)}vh)`;
const pen = canvas.getContext("2d", { willReadFrequently: true }), top = over.getContext("2d"), front = side && side.getContext("2d");
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
  for (const each of side ? [over, side] : [over]) {
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
  const [x, y, z] = place(i, now.share), r = Math.max(radiusAt(i) * scale * ratio, 4), low = beam ? burns(i) : z < board.top;
  top.beginPath(); top.arc(u(x), v(y), r, 0, 7);
  top.fillStyle = low ? "#ffffff40" : "#ffffffa0"; top.fill();
  top.lineWidth = 4.5; top.strokeStyle = "#fff"; top.stroke();
  top.lineWidth = 2; top.strokeStyle = low ? COLOUR.ink : COLOUR.travel; top.stroke();
  top.beginPath(); top.arc(u(x), v(y), 1.6, 0, 7); top.fillStyle = low ? COLOUR.ink : COLOUR.travel; top.fill();
};
const ABOVE = 6;
const drawSide = () => {
  // A beam stands at one height, and how deep it burns is not known.
  if (!side) return;
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
  if (z > zHigh) { front.textAlign = u(x) > wide / 2 ? "right" : "left"; front.fillText(word("above-board", { length: size(z - board.top, 1) }), u(x) + (u(x) > wide / 2 ? -1 : 1) * (r * scale * ratio + 5), 14); }
};
