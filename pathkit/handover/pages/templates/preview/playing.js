// What people do. The parts of this script run one after the other, as one function.
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
    if (KIND[i] === START || idle(i)) continue;
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
holder.className = "ramp"; holder.append(word("depth-none"), ramp, beam ? powerOf(darkest) : shortSize(darkest, 2));
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
