"use strict";
// A count sheet: every answer is text under the head of its column, "" for what nobody looked at.  The file that is
// saved is the CSV that the audit command reads; what the audit will refuse is said here as soon as it is typed.
(() => {
  const YES_NO = [["", "blank"], ["yes", "yes"], ["no", "no"]];
  const LABEL = [["", "blank"], ["legible", "legible"], ["unreadable", "unreadable"], ["unknown", "unknown"]];
  const DAYS = ["inspected", "acquired", "expires"];
  const NUMBERS = ["found", "usable", "points"];
  const NAMES = {
    found: "Found", usable: "Usable", label: "Label", points: "Points", pins: "Pins and keepers with it", held: "Held from moving",
    inspected: "Inspected on, if not as the book says", tag: "Tag you put on it", condition: "Condition, in words", note: "Note",
    state: "State, if not as the book says", place: "Place, if not where the book says", rig: "Rig that it is marked for, if another",
    measured: "Thinnest link", edition: "Chart edition on its label", acquired: "Day on its label, if the book has another",
    expires: "Last day of use, if the book has another", initials: "Initials", second: "Second person's initials",
    part: "Part", serial: "Serial, if it has one",
  };
  const HEAD = ["on", "by", "second", "initials", "remarks"];
  const TOP_OF = { "counted on": "on", "counted by": "by", "second person": "second" };

  const make = (tag, props = {}, ...inside) => {
    const one = document.createElement(tag);
    for (const [name, value] of Object.entries(props)) {
      if (name.includes("-") || name === "role") one.setAttribute(name, value);
      else one[name] = value;
    }
    one.append(...inside);
    return one;
  };
  const two = (number) => String(number).padStart(2, "0");
  const dayOf = (when) => `${when.getFullYear()}-${two(when.getMonth() + 1)}-${two(when.getDate())}`;
  const clockOf = (when) => `${dayOf(when)} at ${two(when.getHours())}:${two(when.getMinutes())}`;
  // As the audit cleans a cell: spaces around it and characters without width go.
  const clean = (text) => text.replace(/\u00a0/g, " ").replace(/[\u200b\ufeff\0]/g, "").replace(/\r\n?/g, "\n").trim();
  const whole = (text) => /^[0-9]{1,6}$/.test(text);
  const cellOf = (text) => {
    const said = /^[=+\-@\t\r']/.test(text) ? `'${text}` : text;  // what a spreadsheet would take for a formula
    return /[",\r\n]/.test(said) ? `"${said.replaceAll('"', '""')}"` : said;
  };
  const csvOf = (rows) => rows.map((row) => `${row.map(cellOf).join(",")}\n`).join("");

  class Sheet {
    constructor(root) {
      this.root = root;
      this.data = JSON.parse(root.querySelector(".counting-data").textContent);
      this.place = `cache-check count|${this.data.rig}|`;
      this.key = this.place + this.data.book;
      this.state = { typed: "", saved: "", changed: false, head: {}, lines: {}, extra: [] };
      this.cards = [];
      this.keeps = true;
      this.names = 0;
    }

    find(selector) { return this.root.querySelector(selector); }

    start() {
      this.open();
      this.lines();
      this.state.extra.forEach((values) => this.extra(values));
      for (const input of this.root.querySelectorAll("[data-head]")) this.headed(input);
      const pressed = (name, does) => this.find(`.${name}`).addEventListener("click", does);
      for (const name of ["today", "add", "next", "filter", "save"]) pressed(name, () => this[name]());
      pressed("ask", () => this.sure(true));
      pressed("keep", () => this.sure(false));
      pressed("forget", () => this.anew());
      this.find(".text").addEventListener("focus", (event) => event.target.select());
      this.find(".by-hand").addEventListener("toggle", () => { this.find(".text").value = this.csv(); });
      window.addEventListener("storage", (event) => this.elsewhere(event));
      window.addEventListener("beforeunload", (event) => { if (this.state.changed && !this.keeps) event.preventDefault(); });
      this.root.addEventListener("focusin", ({ target }) => { this.last = target.closest(".line") ?? this.last; });
      this.root.classList.add("live");
      this.find(".tablet").hidden = false;
      this.paper();
      this.progress();
    }

    // --- what is kept in the browser

    open() {
      let text = null;
      try {
        window.localStorage.setItem(`${this.key}|tried`, "1");
        window.localStorage.removeItem(`${this.key}|tried`);
        text = window.localStorage.getItem(this.key);
      } catch { this.lost(); }
      try { this.restore(JSON.parse(text ?? "null")); } catch { this.say(".restored", "What was typed here before cannot be read any more."); }
      this.others();
    }

    restore(kept) {
      if (kept === null) return;
      const texts = (from, names) => Object.fromEntries(
        Object.entries(from ?? {}).filter(([name, value]) => names.includes(name) && typeof value === "string"));
      const { columns } = this.data;
      this.state = {
        typed: String(kept.typed), saved: String(kept.saved), changed: Boolean(kept.changed), head: texts(kept.head, HEAD),
        lines: Object.fromEntries(Object.entries(kept.lines ?? {}).map(([key, one]) => [key, texts(one, columns)])),
        extra: (kept.extra ?? []).map((one) => texts(one, columns)),
      };
      const when = new Date(this.state.typed);
      this.say(".restored", `Brought back: what was typed here, last on ${Number.isNaN(when.getTime()) ? "a day unknown" : clockOf(when)}.`);
      this.find(".ask").hidden = false;
    }

    others() {
      try {
        if (!Object.keys(window.localStorage).some((key) => key.startsWith(this.place) && key !== this.key)) return;
        const said = "This browser also keeps a count of this rig made from another book; its own page brings it back.";
        this.say(".restored", `${this.find(".restored").textContent} ${said}`.trim());
      } catch { /* said already */ }
    }

    keep() {
      Object.assign(this.state, { typed: new Date().toISOString(), changed: true });
      this.find(".ask").hidden = false;
      this.write();
      this.progress();
    }

    write() {
      try { window.localStorage.setItem(this.key, JSON.stringify(this.state)); } catch { this.lost(); }
    }

    lost() {
      if (!this.keeps) return;
      this.keeps = false;
      this.say(".storage", "This browser keeps nothing: do not close or reload this page before you save the file.");
    }

    elsewhere(event) {
      if (event.key !== this.key) return;
      this.say(".storage", "This sheet is open in another window too, and the last one typed in is kept. Close one of them; reload this page if you go on here.");
    }

    sure(asking) {
      this.find(".sure").hidden = !asking;
      this.find(".ask").hidden = asking;
      this.find(asking ? ".keep" : ".ask").focus();
    }

    anew() {
      try { window.localStorage.removeItem(this.key); } catch { /* nothing was kept */ }
      this.state.changed = false;
      window.location.reload();
    }

    say(selector, text) { this.find(selector).textContent = text; }

    // --- the head

    headed(input) {
      const { head } = input.dataset;
      input.value = this.state.head[head] ?? "";
      input.addEventListener("input", () => this.setHead(head, input));
    }

    setHead(head, input) {
      this.state.head[head] = clean(input.value);
      this.paper();
      this.keep();
    }

    today() {
      const input = this.find('[data-head="on"]');
      input.value = dayOf(new Date());
      this.setHead("on", input);
    }

    // --- lines of the book

    lines() {
      const into = this.find(".lines");
      const seen = {};
      for (const { shown, lines } of this.data.places) {
        const cards = [];
        const heading = make("p", { className: "place" }, make("bdi", {}, shown));
        into.append(heading);
        for (const number of lines) {
          const line = this.data.lines[number];
          const { part, serial, place } = line.written;
          const name = JSON.stringify([part, serial, place]);
          seen[name] = (seen[name] ?? 0) + 1;
          this.state.lines[name + seen[name]] ??= {};
          const card = this.card(line, this.state.lines[name + seen[name]]);
          card.row = this.find(`.paper tr[data-line="${number}"]`);
          card.heading = heading;
          cards.push(card);
          into.append(card.box);
        }
      }
    }

    card(line, values) {
      const box = make("fieldset", { className: "line" });
      const card = { box, line, values, faults: [], inputs: {}, half: {} };
      const serial = line.serial ? [" ", make("bdi", {}, line.serial)] : [];
      box.append(make("legend", {}, make("bdi", {}, line.part), ...serial, make("span", { className: "mark" })));
      if (line.book) box.append(make("p", {}, "Book: ", make("bdi", {}, line.book), ...(line.says ? ["; ", make("bdi", {}, line.says)] : []), "."));
      const answers = make("div", { className: "answers" });
      answers.append(...this.first(line).map((column) => this.input(card, column)));
      const still = make("p", { className: "still" });
      const wrong = make("p", { className: "wrong", role: "status" });
      box.append(answers, still, wrong, this.rest(card, this.later(line)));
      this.cards.push(card);
      return card;
    }

    first({ sort, points }) {
      return sort === "set" ? ["found", "held"] : ["found", "usable", "label", ...(points ? ["points"] : [])];
    }

    later({ sort, kind, points }) {
      if (sort === "set") return ["place", "note", "initials", "second"];
      const own = kind === "chain" ? ["measured"] : kind === "body" ? ["edition"] : [];
      const pins = ["strap", "chain", "hardware", "pad", "pin"].includes(kind) ? [] : ["pins"];
      const point = points || sort !== "extra" ? [] : ["points"];
      return ["inspected", ...point, ...pins, "tag", "condition", "note", "state", "place", "initials", "second", "rig", ...own,
        "acquired", "expires"].filter((column) => !(sort === "extra" && column === "place"));
    }

    rest(card, columns) {
      const summary = make("summary");
      const fields = make("div", { className: "fields" });
      const details = make("details", {}, summary, fields);
      details.addEventListener("toggle", () => {
        if (fields.childElementCount) return;
        fields.append(...columns.map((column) => this.input(card, column)));
        card.shown = "";
        this.check();
      });
      card.summary = () => {
        const said = columns.filter((column) => card.values[column]).map((column) => `${column}: ${card.values[column]}`);
        summary.textContent = `More: ${said.join("; ") || `${columns.slice(0, 4).join(", ")} …`}`;
      };
      return details;
    }

    // --- one input

    input(card, column) {
      if (column === "label") return this.choice(card, column, LABEL);
      const yes = ["pins", "held"].includes(column) || (["found", "usable"].includes(column) && ["piece", "set"].includes(card.line.sort));
      if (yes) return this.choice(card, column, YES_NO);
      if (NUMBERS.includes(column)) return this.number(card, column);
      if (column === "state") return this.select(card, column, this.data.states.map((one) => [one, one]));
      if (column === "part") return this.select(card, column, this.data.parts.map((one) => [one.written, one.shown]));
      const long = ["condition", "note"].includes(column);
      const field = long ? make("textarea", { rows: 2, maxLength: 4000 })
        : make("input", { type: DAYS.includes(column) ? "date" : "text", maxLength: 200, autocomplete: "off" });
      return this.labelled(card, column, field);
    }

    named(card, column) {
      if (column === "place" && card.line.sort === "extra") return "Place";
      return column === "measured" ? `Thinnest link, ${this.data.heads[this.data.columns.indexOf("measured")].split(", ")[1]}` : NAMES[column];
    }

    labelled(card, column, field) {
      field.value = card.values[column] ?? "";
      field.addEventListener("input", () => this.set(card, column, field));
      card.inputs[column] = field;
      return make("div", { className: "field" }, make("label", {}, make("span", {}, this.named(card, column)), field));
    }

    choice(card, column, options) {
      this.names += 1;
      const buttons = options.map(([value, shown]) => {
        const radio = make("input", { type: "radio", name: `${this.root.id}-${this.names}`, value });
        radio.checked = (card.values[column] ?? "") === value;
        radio.addEventListener("change", () => this.set(card, column, radio));
        return make("label", {}, radio, make("span", {}, shown));
      });
      return make("fieldset", { className: "ask-one" }, make("legend", {}, this.named(card, column)), make("div", { className: "choices" }, ...buttons));
    }

    number(card, column) {
      const field = make("input", { type: "text", inputMode: "numeric", maxLength: 12, autocomplete: "off" });
      const button = (shown, words, by) => {
        const made = make("button", { type: "button", "aria-label": `${words} ${column}: ${card.line.part}` }, shown);
        made.addEventListener("click", () => {
          const now = clean(field.value);
          const next = (whole(now) ? Number(now) : 0) + by;
          field.value = now === "" && by < 0 ? "0" : next < 0 ? "" : String(next);
          this.set(card, column, field);
        });
        return made;
      };
      const made = this.labelled(card, column, field);
      made.className = "number";
      made.prepend(button("−", "one fewer", -1));
      made.append(button("+", "one more", 1));
      return made;
    }

    select(card, column, options) {
      const field = make("select", {}, make("option", { value: "" }, "blank"), ...options.map(([value, shown]) => make("option", { value }, shown)));
      return this.labelled(card, column, field);
    }

    set(card, column, field) {
      const { values } = card;
      const text = clean(field.value);
      this.last = card.box;
      const before = values.found ?? "";
      if (text) values[column] = text; else delete values[column];
      card.half[column] = Boolean(field.validity?.badInput);
      if (column === "found") this.signed(card, before);
      this.keep();
    }

    // Who answers a line puts initials on it; taking the answer back takes them off.
    signed({ values, inputs }, before) {
      const mine = this.state.head.initials ?? "";
      if (mine && values.found && !values.initials) values.initials = mine;
      else if (before && !values.found && values.initials === mine) delete values.initials;
      if (inputs.initials) inputs.initials.value = values.initials ?? "";
    }

    // --- lines that are not on the book

    add() {
      const values = {};
      this.state.extra.push(values);
      this.extra(values).box.querySelector("select").focus();
      this.keep();
    }

    extra(values) {
      const line = { sort: "extra", kind: "", points: 0, part: "Not on the book", serial: "", book: "", says: "" };
      const card = this.card(line, values);
      const drop = make("button", { type: "button" }, "Take this line away");
      drop.addEventListener("click", () => this.drop(card));
      card.box.querySelector(".answers").prepend(...["part", "serial", "place"].map((column) => this.input(card, column)));
      card.box.append(drop);
      this.find(".extras").append(card.box);
      return card;
    }

    drop(card) {
      this.state.extra = this.state.extra.filter((values) => values !== card.values);
      this.cards = this.cards.filter((one) => one !== card);
      card.box.remove();
      this.find(".add").focus();
      this.keep();
    }

    // --- what is still to do, and what the audit would refuse

    faults(card, twice) {
      const { values, line } = card;
      const said = NUMBERS.filter((column) => values[column] && !whole(values[column]) && !["yes", "no"].includes(values[column]))
        .map((column) => `${column} is not a whole number`);
      for (const day of DAYS) if (card.half[day] || (values[day] && !/^\d{4}-\d\d-\d\d$/.test(values[day]))) said.push(`${day} is not a whole date`);
      const amount = (text) => ({ "": 0, yes: 1, no: 0 })[text ?? ""] ?? Number(text);
      if (values.usable && amount(values.usable) > amount(values.found)) said.push(`${values.usable} usable of ${values.found ?? "a number not written"} found`);
      if (line.sort === "extra" && !values.part && Object.keys(values).length) said.push("no part is chosen");
      if (line.sort === "extra" && values.serial && amount(values.found) > 1) said.push("more than one piece has this serial");
      if (twice) said.push("this part is counted already in this place, or under this serial: put both in one line");
      return said;
    }

    check() {
      const counts = {};
      const nameOf = ({ values, line }) => {
        const part = values.part ?? line.written?.part;
        const serial = values.serial ?? line.written?.serial ?? "";
        return part && line.sort !== "set" && JSON.stringify([part, serial, serial ? "" : (values.place ?? line.written?.place ?? "").toLowerCase()]);
      };
      for (const card of this.cards) { const name = nameOf(card); if (name) counts[name] = (counts[name] ?? 0) + 1; }
      for (const card of this.cards) {
        card.faults = this.faults(card, card.line.sort === "extra" && counts[nameOf(card)] > 1);
        const now = JSON.stringify([card.values, card.faults]);
        if (card.shown !== now) this.show(card);
        card.shown = now;
      }
    }

    show(card) {
      const { box, line, values, faults } = card;
      const seen = Boolean(values.found);
      box.classList.toggle("seen", seen);
      box.querySelector(".mark").textContent = line.sort === "extra" ? "" : seen ? " ✓ looked at" : " — not looked at";
      const put = (selector, text) => { const one = box.querySelector(selector); if (one.textContent !== text) one.textContent = text; };
      const blank = line.sort === "extra" || !seen || ["0", "no"].includes(values.found) ? [] : this.first(line).filter((column) => !values[column]);
      put(".still", blank.length ? `Still blank: ${blank.join(", ")}.` : "");
      put(".wrong", faults.length ? `Audit cannot read this: ${faults.join("; ")}.` : "");
      for (const [column, field] of Object.entries(card.inputs)) {
        field.setAttribute("aria-invalid", String(faults.some((one) => one.startsWith(`${column} `))));
      }
      card.summary();
      if (card.row) this.mirror(card.row, values, line);
    }

    blanks() { return this.cards.filter(({ line, values }) => line.sort !== "extra" && !values.found); }

    progress() {
      this.check();
      this.spare();
      const all = this.cards.filter(({ line }) => line.sort !== "extra").length;
      const blank = this.blanks().length;
      const said = `${all - blank} of ${all} looked at; ${blank} not looked at (blank is not looked at, never fine)`;
      if (this.find(".progress").textContent !== said) this.say(".progress", said);
      if (this.state.saved) this.say(".saved", `Saved on ${clockOf(new Date(this.state.saved))}${this.state.changed ? "; changed since, so save again" : ""}.`);
      if (this.find(".by-hand").open) this.find(".text").value = this.csv();
    }

    next() {
      const cards = this.blanks();
      if (!cards.length) { this.say(".saved", "No line is blank."); return; }
      const follows = (box) => this.last && this.last.compareDocumentPosition(box) & Node.DOCUMENT_POSITION_FOLLOWING;
      const { box, heading } = cards.find((card) => follows(card.box)) ?? cards[0];
      this.last = box;
      box.hidden = false;
      heading.hidden = false;
      box.scrollIntoView({ block: "center" });
      box.querySelector("input").focus({ preventScroll: true });
    }

    // Lines answered while only blank ones are shown stay until the button is pressed again: nothing moves under a hand.
    filter() {
      const button = this.find(".filter");
      const on = button.getAttribute("aria-pressed") !== "true";
      button.setAttribute("aria-pressed", String(on));
      for (const { box, line, values } of this.cards) box.hidden = on && line.sort !== "extra" && Boolean(values.found);
      for (const heading of this.root.querySelectorAll("p.place")) {
        heading.hidden = this.cards.filter((card) => card.heading === heading).every(({ box }) => box.hidden);
      }
    }

    // --- paper: what was typed stands in the boxes

    mirror(row, values, line) {
      for (const cell of row.querySelectorAll("[data-fill]")) {
        const { fill } = cell.dataset;
        cell.querySelector("bdi").textContent = fill === "note" ? this.notes(values, line) : values[fill] ?? "";
      }
    }

    notes(values, line) {
      const named = ["state", "condition", "held", "rig", "measured", "edition", ...(line.sort === "extra" ? [] : ["place"])];
      const said = named.filter((column) => values[column]).map((column) => `${column === "place" ? "found in" : column}: ${values[column]}`);
      return [...said, ...(values.note ? [values.note] : [])].join("; ");
    }

    paper() {
      for (const one of this.root.querySelectorAll("[data-paper]")) one.textContent = this.state.head[one.dataset.paper] ?? "";
    }

    spare() {
      const body = this.find(".paper tbody");
      while (body.querySelectorAll(".spare").length < this.state.extra.length) body.append(body.querySelector(".spare").cloneNode(true));
      body.querySelectorAll(".spare").forEach((row, n) => this.mirror(row, this.state.extra[n] ?? {}, { sort: "extra" }));
    }

    // --- the file

    row(card) {
      const { written = {} } = card.line;
      return this.data.columns.map((column) => {
        const said = card.values[column] ?? written[column] ?? "";
        return NUMBERS.includes(column) && whole(said) ? String(Number(said)) : said;
      });
    }

    csv() {
      const { head } = this.state;
      const top = this.data.top.map(([word, value]) => [word, TOP_OF[word] ? head[TOP_OF[word]] ?? "" : value]);
      if (head.remarks) top.push(["# remarks", head.remarks]);
      const cards = this.cards.filter(({ line, values }) => line.sort !== "extra" || Object.keys(values).length);
      return csvOf([...top, [], this.data.heads, ...cards.map((card) => this.row(card))]);
    }

    save() {
      this.check();
      const now = new Date();
      const rig = this.data.rig.replace(/[^\p{L}\p{N}_-]+/gu, "-").slice(0, 60);
      const name = `count-${rig}-${dayOf(now)}.csv`;
      const url = URL.createObjectURL(new Blob([this.csv()], { type: "text/csv;charset=utf-8" }));
      const link = make("a", { href: url, download: name, hidden: true });
      this.root.append(link);
      link.click();
      link.remove();
      setTimeout(() => URL.revokeObjectURL(url), 60000);
      Object.assign(this.state, { saved: now.toISOString(), changed: false });
      this.write();
      this.progress();
      this.say(".saved", `Saved as ${name}, where this browser puts its files; look that it is there. ${this.left()}`);
    }

    left() {
      const { head } = this.state;
      const wrong = this.cards.filter(({ faults }) => faults.length)
        .map(({ line, values }) => `${values.part ?? line.part} ${values.serial ?? line.serial}`.trim());
      const unsaid = [["on", "the day"], ["by", "who counted"]].filter(([name]) => !head[name]).map(([, words]) => words);
      const blank = this.blanks().length;
      return [
        wrong.length && `Audit will not read it before you mend ${wrong.join(", ")}.`,
        unsaid.length && `Not written: ${unsaid.join(", ")}.`,
        blank && `${blank} not looked at.`,
      ].filter(Boolean).join(" ");
    }
  }

  for (const root of document.querySelectorAll(".counting")) new Sheet(root).start();
})();
