"use strict";
(() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const form = document.getElementById("steps");
  const end = document.getElementById("end");
  const STEP = { right: [1, 0], left: [-1, 0], away: [0, 1], toward: [0, -1] };
  const WORD = (d) => Object.keys(STEP).find((w) => STEP[w][0] === d[0] && STEP[w][1] === d[1]);
  const SAY = { right: "to the right", left: "to the left", away: "away from you", toward: "toward you", up: "up", down: "down" };
  const chosen = {};

  const make = (tag, values = {}, ...inside) => {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(values)) node.setAttribute(name, value);
    node.append(...inside);
    return node;
  };
  const drawing = (inside) => {
    const holder = make("div", { "aria-hidden": "true" });
    // Made from numbers and words of this page alone.
    holder.innerHTML = `<svg viewBox="0 0 120 100" focusable="false">${inside}</svg>`;
    return holder;
  };
  const head = (x, y, dx, dy) => {
    const [nx, ny] = [-dy, dx];
    return `<path class="inkfill" d="M${x} ${y}L${x - 9 * dx + 5 * nx} ${y - 9 * dy + 5 * ny}L${x - 9 * dx - 5 * nx} ${y - 9 * dy - 5 * ny}Z"/>`;
  };
  const BED = '<rect class="floor" x="10" y="6" width="100" height="72"/><rect class="wood" x="28" y="18" width="64" height="48"/>' +
    '<text x="60" y="94" font-size="11" text-anchor="middle">you stand here</text>';
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
    ["as an F that you can read", [[1, 0], [0, 1]]], ["turned a quarter to the left", [[0, -1], [1, 0]]],
    ["upside down", [[-1, 0], [0, -1]]], ["turned a quarter to the right", [[0, 1], [-1, 0]]],
    ["mirrored, left for right", [[-1, 0], [0, 1]]], ["mirrored, front for back", [[1, 0], [0, -1]]],
    ["mirrored and turned to the left", [[0, -1], [-1, 0]]], ["mirrored and turned to the right", [[0, 1], [1, 0]]],
  ];

  const split = data.steps.directions.map((words) => words.split(" "));
  const only = (values) => [...new Set(values)];
  const STEPS = [
    ["corner", "Where is zero on the board? It is the corner where X and Y are 0.",
      () => data.steps.corner.map((v) => [v, v.replace("-", " "), corner(v)])],
    ["x", "Jog X so that its number grows. Which way does the bit go over the board?",
      () => only(split.map((w) => w[0])).map((v) => [v, `X grows ${SAY[v]}`, way(v, "X")])],
    ["y", "Now jog Y so that its number grows. Which way does the bit go?",
      () => only(split.filter((w) => w[0] === chosen.x).map((w) => w[1])).map((v) => [v, `Y grows ${SAY[v]}`, way(v, "Y")])],
    ["z", "Jog Z so that its number grows, with room above and below. Which way does the bit go?",
      () => only(split.filter((w) => w[0] === chosen.x && w[1] === chosen.y).map((w) => w[2])).map((v) => [v, `Z grows ${SAY[v]}`, upright(v)])],
    ["dialect", "Which controller does your machine have? Its manual says so, or its screen when it starts.",
      () => data.steps.dialect.map(([name, title]) => [name, title])],
    ["units", "In which units does your controller show places?",
      () => data.steps.units.map((v) => [v, v === "inch" ? "inches" : "millimetres"])],
    ["board", "Which board do you cut?",
      () => data.steps.board.map((b, k) => [String(k), [b.name, b.size[chosen.units]].filter(Boolean).join(": "),
        `<rect class="wood" x="${60 - 40 / Math.max(1, b.share)}" y="${50 - 40 * Math.min(1, b.share)}" width="${80 / Math.max(1, b.share)}" height="${80 * Math.min(1, b.share)}"/>`])],
    ["bit", "Which bit is in your spindle? Measure it.",
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
    for (const [at, [name, question, options]] of STEPS.entries()) {
      const field = make("fieldset", { id: `step-${name}` }, make("legend", {}, `${at + 1}. ${question}`));
      field.append(cards(name, options(), (value) => {
        chosen[name] = value;
        // What was answered further down may not go with it.
        STEPS.slice(at + 1).forEach(([later, , others]) => {
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
      end.append(make("h2", {}, "Not offered"), make("p", { class: "no" }, `There is no file for this choice: ${data.why[key()] || "it was not made"}.`),
        make("p", {}, "Ask whoever gave you this folder; do not take the file of another machine."));
      return;
    }
    const least = make("section", { id: "least" }, make("h2", {}, "Your machine must have at least"),
      make("ul", {}, ...data.least[chosen.units].map((line) => make("li", {}, line))),
      make("p", { class: "sub" }, "The files are proved for any machine that has at least this. A smaller one may lose steps, stop, or hit its end."));
    const rehearsal = make("section", { id: "rehearsal", hidden: "" });
    const files = make("section", { id: "files", hidden: "", class: "files" });
    const test = make("section", { id: "test", hidden: "" });
    const state = { least: false, seen: undefined, measured: false };
    const update = () => {
      rehearsal.hidden = !state.least;
      files.hidden = test.hidden = !(state.least && state.seen === "0" && state.measured);
    };
    least.append(tick("My machine has at least all of this.", (on) => { state.least = on; update(); }));
    rehearse(found[0], rehearsal, state, update);
    tryFit(test);
    give(found, files);
    end.append(least, rehearsal, test, files);
  };

  const rehearse = (entry, section, state, update) => {
    const answer = make("p", { class: "no", role: "status" });
    section.append(make("h2", {}, "Rehearse in the air first"),
      make("p", {}, "Take the bit out, keep the spindle off, set zero where you will set it for the cut, and clear the machine. Keep a hand at the stop button. The bit's holder must first go up. If it goes down, stop: then Z grows the other way."),
      make("p", {}, link(entry, entry.letter, "The letter file: it draws a letter over the board", true)),
      make("p", {}, "Stand at the front of the machine. How does the letter look?"));
    const field = make("fieldset", {}, make("legend", {}, "The letter looked"));
    const box = make("div", { class: "cards" });
    SEEN.forEach(([words, m], at) => {
      const input = make("input", { type: "radio", name: "seen", value: String(at) });
      input.addEventListener("change", () => {
        state.seen = String(at);
        answer.replaceChildren(...(at ? other(m) : []));
        update();
      });
      box.append(make("label", { class: "card" }, input, drawing(letter(m)), make("span", {}, words)));
    });
    field.append(box);
    const sides = data.measure[chosen.units][chosen.board];
    section.append(field, answer,
      make("p", {}, link(entry, entry.measure, "The measure file: it goes a known way and back, twice", true)),
      tick(`It went ${sides[0]} to the side, and ${sides[1]} away from me. I have measured both.`, (on) => { state.measured = on; update(); }),
      make("p", {}, link(entry, entry.around, "The frame file: it goes round the board, outside its edges", true),
        ". Watch that nothing is in its way."));
  };

  // The machine does c → A'c where the file counts on A; what is seen is A'A⁻¹. So the true directions are seen·A.
  const other = (m) => {
    const turned = (word) => {
      const d = STEP[word];
      return WORD([m[0][0] * d[0] + m[0][1] * d[1], m[1][0] * d[0] + m[1][1] * d[1]]);
    };
    const [x, y] = [turned(chosen.x), turned(chosen.y)];
    const words = `Then this is not the file for your machine: X grows ${SAY[x]} and Y grows ${SAY[y]}. Do not cut.`;
    if (!data.steps.directions.includes(`${x} ${y} ${chosen.z}`)) return [words, " No file is offered for that."];
    const button = make("button", { type: "button" }, "Choose these directions instead");
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
    const picture = make("div", { class: "fits", role: "img", "aria-label": `The test piece from the front: ${fit.steps.join(", ")} mm from left to right; the minus sign is cut at the left, the plus sign at the right.` });
    // Made from numbers of this page alone.
    picture.innerHTML = `<svg viewBox="0 0 164 116" focusable="false"><rect class="wood" x="1" y="1" width="162" height="94"/><path class="ink" d="M6 48H14M150 48H158M154 44V52"/>${places}</svg>`;
    section.append(make("h2", {}, "Do parts have to fit into each other? Cut the test piece first"),
      make("p", {}, `Bits are never quite as wide as they say. This piece has a recess and a slot for each step of fit, in mm, from tight at the − to loose at the +. Where the fit is 0 the recesses are meant to be ${fit.recess[unit]} across, and the slots ${fit.slot[unit]}.`),
      picture,
      make("ol", {},
        make("li", {}, `Take a piece of the same board, at least ${fit.board[unit]}, and the same bit. `, link(entry, entry.sheet, "Follow its own setup sheet", false), "."),
        ...entry.air.map((name) => make("li", {}, link(entry, name, `Run its air cut: ${name}`, true))),
        ...entry.cut.map((name) => make("li", {}, link(entry, name, `Cut it: ${name}`, true))),
        make("li", {}, "Push in what is to go in, or measure: find the place where it fits as you want, or that has the size it is meant to have."),
        make("li", {}, "Tell whoever gave you this folder the number at that place, and what you tried. They make files with that fit for you.")));
  };

  const give = (found, section) => {
    section.append(make("h2", {}, "Your files"));
    found.forEach((entry) => {
      const boards = entry.times === "1" ? "" : `Cut ${entry.times} boards with it. `;
      section.append(
        make("p", {}, `Parts from a board: ${entry.parts}. ${boards}Run time: ${entry.time} on a machine that just meets the list above, and never less than ${entry.quickest}.`),
        make("ol", {},
          make("li", {}, link(entry, entry.sheet, "The setup sheet: read it all, and follow it", false)),
          ...(entry.preview ? [make("li", {}, link(entry, entry.preview, "The preview: watch the cut on the screen", false))] : []),
          ...entry.air.map((name) => make("li", {}, link(entry, name, `The air cut, the same way above the board: ${name}`, true))),
          ...entry.cut.map((name) => make("li", { class: "cut" }, link(entry, name, `The cut file: ${name}`, true)))));
    });
    section.append(make("p", { class: "sub" }, "Proved was the file: that this controller takes it, that it stays on such a machine, and that it cuts these parts. Your bit, board, hold-down and machine were not."));
  };

  show();
})();
