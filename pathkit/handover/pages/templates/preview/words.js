// Words. The parts of this script run one after the other, as one function.
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
const bitName = (bit) => (/mm|\bin\b|"/.test(bit.name) ? bit.name : word("bit", { name: bit.name, length: shortSize(bit.diameter, 3) }));
const powerOf = (share) => word(share > 0 ? "power" : "power-off", { percent: figure(+(100 * share).toFixed(1)) });
const DOING = ["travels", "straight", "arc"];
const tell = () => {
  const i = now.row, line = LINE[i], file = fileAt(Math.max(line, 1)), [, , z] = place(i, now.share), depth = board.top - z, bit = bits[BIT[i]];
  const own = line ? line - file.first : 0, ended = now.time >= total;
  say("n-time", word("of", { part: clock(now.time), whole: clock(total) }));
  say("n-line", own ? word("of", { part: own, whole: file.lines }) : "–");
  say("n-bit", bit ? bitName(bit) : word("not-known"));
  say("n-depth", beam ? powerOf(burns(i) ? POWER[i] : 0) : depth > 0 ? size(depth, 2) : word("above", { length: size(-depth, 2) }));
  say("n-feed", KIND[i] === TRAVEL || KIND[i] === START || !FEED[i] ? word("as-fast") : feedOf(FEED[i]));
  const what = now.time < T0[i] - 1e-6 ? "stands" : KIND[i] === START ? "between-files" : KIND[i] !== TRAVEL && (beam ? !burns(i) : depth <= 0) ? "moves-above" : DOING[KIND[i]];
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
