"use strict";
(() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const texts = JSON.parse(document.getElementById("texts").textContent);
  // Values are put in once, and never read as a text with places of its own.
  const say = (name, values = {}) => texts[`choose-${name}`].replace(/\{(\w+)\}/g, (place, key) => values[key] ?? place);
  const form = document.getElementById("steps");
  const end = document.getElementById("end");
  const STEP = { right: [1, 0], left: [-1, 0], away: [0, 1], toward: [0, -1] };
  const WORD = (d) => Object.keys(STEP).find((w) => STEP[w][0] === d[0] && STEP[w][1] === d[1]);
  const chosen = {};

  const make = (tag, values = {}, ...inside) => {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(values)) node.setAttribute(name, value);
    node.append(...inside);
    return node;
  };
  const drawing = (inside) => {
    const holder = make("div", { "aria-hidden": "true" });
    // Made from numbers of this page alone; its one word is put in as text.
    holder.innerHTML = `<svg viewBox="0 0 120 100" focusable="false">${inside}</svg>`;
    holder.querySelectorAll(".stand").forEach((node) => { node.textContent = say("stand-here"); });
    return holder;
  };
  const head = (x, y, dx, dy) => {
    const [nx, ny] = [-dy, dx];
    return `<path class="inkfill" d="M${x} ${y}L${x - 9 * dx + 5 * nx} ${y - 9 * dy + 5 * ny}L${x - 9 * dx - 5 * nx} ${y - 9 * dy - 5 * ny}Z"/>`;
  };
  const BED = '<rect class="floor" x="10" y="6" width="100" height="72"/><rect class="wood" x="28" y="18" width="64" height="48"/>' +
    '<text class="stand" x="60" y="94" font-size="11" text-anchor="middle"></text>';
  const corner = (name) => {
    const x = name.endsWith("right") ? 92 : 28, y = name.startsWith("back") ? 18 : 66;
    return `${BED}<circle class="inkfill" cx="${x}" cy="${y}" r="7"/>`;
  };
  const way = (word, letter) => {
    const [dx, up] = STEP[word], dy = -up;
    const [x, y] = [60 + 24 * dx, 42 + 18 * dy];
    return `${BED}<path class="ink" d="M${60 - 20 * dx} ${42 - 14 * dy}L${x} ${y}"/>${head(x + 6 * dx, y + 6 * dy, dx, dy)}` +
      `<text x="${60 + (dx ? 0 : 14)}" y="${dx ? 34 : 46}" font-size="14" font-weight="700">${letter}+</text>`;
  };
  const upright = (word) => {
    const s = word === "up" ? -1 : 1;
    return '<rect class="floor" x="10" y="78" width="100" height="10"/><rect class="wood" x="24" y="64" width="72" height="14"/>' +
      '<path class="ink" d="M50 20V56"/><path class="inkfill" d="M46 50H54L50 60Z"/>' +
      `<path class="ink" d="M76 ${36 - 14 * s}V${36 + 8 * s}"/>${head(76, 36 + 16 * s, 0, s)}<text x="86" y="40" font-size="14" font-weight="700">Z+</text>`;
  };
  const F = [[0, 0], [0, 5], [3, 5], [0, 5], [0, 3], [2, 3]];
  const letter = (m) => {
    const place = ([a, b]) => {
      const [u, v] = [a - 1.5, b - 2.5];
      return `${60 + 9 * (m[0][0] * u + m[0][1] * v)} ${42 - 9 * (m[1][0] * u + m[1][1] * v)}`;
    };
    return `${BED}<path class="letter" d="M${F.map(place).join("L")}"/>`;
  };
  // What a letter can be turned into: the rotations first, then their mirror images.
  const SEEN = [
    ["seen-reads", [[1, 0], [0, 1]]], ["seen-left", [[0, -1], [1, 0]]],
    ["seen-upside-down", [[-1, 0], [0, -1]]], ["seen-right", [[0, 1], [-1, 0]]],
    ["seen-mirrored-across", [[-1, 0], [0, 1]]], ["seen-mirrored-away", [[1, 0], [0, -1]]],
    ["seen-mirrored-left", [[0, -1], [-1, 0]]], ["seen-mirrored-right", [[0, 1], [1, 0]]],
  ];

  const split = data.steps.directions.map((words) => words.split(" "));
  const only = (values) => [...new Set(values)];
  const STEPS = [
    ["corner",
      () => data.steps.corner.map((v) => [v, say(`corner-${v}`), corner(v)])],
    ["x",
      () => only(split.map((w) => w[0])).map((v) => [v, say(`x-${v}`), way(v, "X")])],
    ["y",
      () => only(split.filter((w) => w[0] === chosen.x).map((w) => w[1])).map((v) => [v, say(`y-${v}`), way(v, "Y")])],
    ["z",
      () => only(split.filter((w) => w[0] === chosen.x && w[1] === chosen.y).map((w) => w[2])).map((v) => [v, say(`z-${v}`), upright(v)])],
    ["dialect",
      () => data.steps.dialect.map(([name, title]) => [name, title])],
    ["units",
      () => data.steps.units.map((v) => [v, say(`units-${v}`)])],
    ["board",
      () => data.steps.board.map((b, k) => [String(k), b.name ? say("board-named", { name: b.name, size: b.size[chosen.units] }) : b.size[chosen.units],
        `<rect class="wood" x="${60 - 40 / Math.max(1, b.share)}" y="${50 - 40 * Math.min(1, b.share)}" width="${80 / Math.max(1, b.share)}" height="${80 * Math.min(1, b.share)}"/>`])],
    ["bit",
      () => data.steps.bit.map((v, k) => [String(k), v])],
  ];

  const key = () => [
    data.steps.corner.indexOf(chosen.corner), data.steps.directions.indexOf(`${chosen.x} ${chosen.y} ${chosen.z}`),
    data.steps.dialect.findIndex(([name]) => name === chosen.dialect), data.steps.units.indexOf(chosen.units),
    chosen.board, chosen.bit].join(".");

  const cards = (name, options, on) => {
    const box = make("div", { class: "cards" });
    options.forEach(([value, words, picture]) => {
      const input = make("input", { type: "radio", name, value });
      if (chosen[name] === value) input.checked = true;
      input.addEventListener("change", () => on(value));
      box.append(make("label", { class: "card" }, input, ...(picture ? [drawing(picture)] : []), make("span", {}, words)));
    });
    return box;
  };

  const show = (focus) => {
    form.replaceChildren();
    end.replaceChildren();
    for (const [at, [name, options]] of STEPS.entries()) {
      const question = say("question", { number: at + 1, question: say(name) });
      const field = make("fieldset", { id: `step-${name}` }, make("legend", {}, question));
      field.append(cards(name, options(), (value) => {
        chosen[name] = value;
        // What was answered further down may not go with it.
        STEPS.slice(at + 1).forEach(([later, others]) => {
          if (later in chosen && !others().some(([v]) => v === chosen[later])) delete chosen[later];
        });
        show(name);
      }));
      form.append(field);
      if (!(name in chosen)) break;
    }
    if (focus) form.querySelector(`input[name="${focus}"]:checked`)?.focus({ preventScroll: true });
    if (STEPS.every(([name]) => name in chosen)) finish();
  };

  const tick = (words, on) => {
    const input = make("input", { type: "checkbox" });
    input.addEventListener("change", () => on(input.checked));
    return make("label", { class: "tick" }, input, make("span", {}, words));
  };
  const link = (entry, name, words, file) =>
    make("a", { href: encodeURI(entry.stored?.[name] || "") || `${encodeURI(entry.folder)}/${encodeURIComponent(name)}`, ...(file ? { download: name } : {}) }, words);

  const finish = () => {
    const found = data.files[key()];
    if (!found) {
      end.append(make("h2", {}, say("not-offered")), make("p", { class: "no" }, say("no-file", { why: data.why[key()] || say("not-made") })),
        make("p", {}, say("ask")));
      return;
    }
    const least = make("section", { id: "least" }, make("h2", {}, say("least")),
      make("ul", {}, ...data.least[chosen.units].map((line) => make("li", {}, line))),
      make("p", { class: "sub" }, say("least-why")));
    const rehearsal = make("section", { id: "rehearsal", hidden: "" });
    const files = make("section", { id: "files", hidden: "", class: "files" });
    const test = make("section", { id: "test", hidden: "" });
    const state = { least: false, seen: undefined, measured: false };
    const update = () => {
      rehearsal.hidden = !state.least;
      files.hidden = test.hidden = !(state.least && state.seen === "0" && state.measured);
    };
    least.append(tick(say("has-least"), (on) => { state.least = on; update(); }));
    rehearse(found[0], rehearsal, state, update);
    tryFit(test);
    give(found, files);
    end.append(least, rehearsal, test, files);
  };

  const rehearse = (entry, section, state, update) => {
    const answer = make("p", { class: "no", role: "status" });
    section.append(make("h2", {}, say("rehearse")),
      make("p", {}, say("prepare")),
      make("p", {}, link(entry, entry.letter, say("letter-file"), true)),
      make("p", {}, say("how-seen")));
    const field = make("fieldset", {}, make("legend", {}, say("seen")));
    const box = make("div", { class: "cards" });
    SEEN.forEach(([words, m], at) => {
      const input = make("input", { type: "radio", name: "seen", value: String(at) });
      input.addEventListener("change", () => {
        state.seen = String(at);
        answer.replaceChildren(...(at ? other(m) : []));
        update();
      });
      box.append(make("label", { class: "card" }, input, drawing(letter(m)), make("span", {}, say(words))));
    });
    field.append(box);
    const sides = data.measure[chosen.units][chosen.board];
    section.append(field, answer,
      make("p", {}, link(entry, entry.measure, say("measure-file"), true)),
      tick(say("measured", { across: sides[0], away: sides[1] }), (on) => { state.measured = on; update(); }),
      make("p", {}, link(entry, entry.around, say("frame-file"), true),
        say("frame-watch")));
  };

  // The machine does c → A'c where the file counts on A; what is seen is A'A⁻¹. So the true directions are seen·A.
  const other = (m) => {
    const turned = (word) => {
      const d = STEP[word];
      return WORD([m[0][0] * d[0] + m[0][1] * d[1], m[1][0] * d[0] + m[1][1] * d[1]]);
    };
    const [x, y] = [turned(chosen.x), turned(chosen.y)];
    const words = say(`other-${x}-${y}`);
    if (!data.steps.directions.includes(`${x} ${y} ${chosen.z}`)) return [words, " ", say("other-no-file")];
    const button = make("button", { type: "button" }, say("other-directions"));
    button.addEventListener("click", () => {
      chosen.x = x;
      chosen.y = y;
      show();
      document.getElementById("step-x").scrollIntoView();
      form.querySelector('input[name="x"]:checked').focus();
    });
    return [words, " ", button];
  };

  const tryFit = (section) => {
    const [entry, fit] = [data.tests[key()], data.fit[chosen.bit]];
    if (!entry || !fit || !fit.steps) return;
    const unit = chosen.units;
    const places = fit.steps.map((words, at) => `<g transform="translate(${30 + 26 * at} 0)"><path d="M0 22V52" class="slot"/><circle cx="0" cy="76" r="9" class="recess"/>` +
      `<text y="107" font-size="8.5" text-anchor="middle">${words}</text></g>`).join("");
    const picture = make("div", { class: "fits", role: "img", "aria-label": say("fit-picture", { steps: fit.steps.join(", ") }) });
    // Made from numbers of this page alone.
    picture.innerHTML = `<svg viewBox="0 0 164 116" focusable="false"><rect class="wood" x="1" y="1" width="162" height="94"/><path class="ink" d="M6 48H14M150 48H158M154 44V52"/>${places}</svg>`;
    section.append(make("h2", {}, say("fit")),
      make("p", {}, say("fit-why", { recess: fit.recess[unit], slot: fit.slot[unit] })),
      picture,
      make("ol", {},
        make("li", {}, say("fit-take", { board: fit.board[unit] }), " ", link(entry, entry.sheet, say("fit-sheet"), false), "."),
        ...entry.air.map((name) => make("li", {}, link(entry, name, say("fit-air", { name }), true))),
        ...entry.cut.map((name) => make("li", {}, link(entry, name, say("fit-cut", { name }), true))),
        make("li", {}, say("fit-find")),
        make("li", {}, say("fit-tell"))));
  };

  const give = (found, section) => {
    section.append(make("h2", {}, say("files")));
    found.forEach((entry) => {
      section.append(
        make("p", {}, say(entry.times === "1" ? "about" : "about-boards", entry)),
        make("ol", {},
          make("li", {}, link(entry, entry.sheet, say("sheet"), false)),
          ...(entry.preview ? [make("li", {}, link(entry, entry.preview, say("preview"), false))] : []),
          ...entry.air.map((name) => make("li", {}, link(entry, name, say("air", { name }), true))),
          ...entry.cut.map((name) => make("li", { class: "cut" }, link(entry, name, say("cut", { name }), true)))));
    });
    section.append(make("p", { class: "sub" }, say("proved")));
  };

  show();
})();
