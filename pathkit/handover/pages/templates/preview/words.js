// Words. The parts of this script run one after the other, as one function.
const twoDigits = (value) => String(value).padStart(2, "0");
const clock = (seconds) => {
  const fine = total < 120 ? 10 : 1, s = Math.floor(seconds * fine + 1e-6) / fine, m = Math.floor(s / 60), rest = fine > 1 ? (s % 60).toFixed(1).padStart(4, "0") : twoDigits(Math.floor(s % 60));
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
const DOING = ["travels, without cutting", "cuts a straight line", "cuts an arc"];
const tell = () => {
  const i = now.row, line = LINE[i], file = fileAt(Math.max(line, 1)), [, , z] = place(i, now.share), depth = board.top - z, bit = bits[BIT[i]];
  const own = line ? line - file.first : 0, ended = now.time >= total;
  say("n-time", `${clock(now.time)} of ${clock(total)}`);
  say("n-line", own ? `${own} of ${file.lines}` : "–");
  say("n-bit", bit ? (/mm|"/.test(bit.name) ? bit.name : `${bit.name}, ${+bit.diameter.toFixed(3)} mm`) : "not known");
  say("n-depth", depth > 0 ? `${depth.toFixed(2)} mm` : `${(-depth).toFixed(2)} mm above`);
  say("n-feed", KIND[i] === TRAVEL || KIND[i] === START || !FEED[i] ? "as fast as it can" : `${Math.round(FEED[i])} mm/min`);
  const what = now.time < T0[i] - 1e-6 ? "stands still before this line" : KIND[i] === START ? "between two files" : depth <= 0 && KIND[i] !== TRAVEL ? "moves above the board" : DOING[KIND[i]];
  say("n-what", ended ? "finished" : what);
  say("n-file", `${file.name}${PATH[i] >= 0 ? `: ${about.names[PATH[i]]}` : ""}`);
  const slider = el("time");
  slider.value = now.time; slider.setAttribute("aria-valuetext", `${clock(now.time)} of ${clock(total)}${own ? `, line ${own}` : ""}`);
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
