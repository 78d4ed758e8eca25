// The page of `cache-check open`: sends the question as it is typed, shows the answer, follows the files.
// It works nothing out: every figure comes from the server, and the chart's counts are looked up where it put them.
"use strict";
(() => {
  const tab = sessionStorage.tab || (sessionStorage.tab = crypto.randomUUID());
  const clock = () => new Date().toTimeString().slice(0, 8);
  const form = document.getElementById("question");
  const answer = document.getElementById("answer");
  const state = document.getElementById("state");
  let version = Number(document.body.dataset.version);
  let asking = null;
  let good = clock();
  let asked = location.pathname + location.search;
  let older = false; // the form is of other rigs than are ticked, or of files that were saved since

  const ENDED = () => `The program that answers this page has ended. Start it again. Below is its answer of ${good}.`;

  const query = () => {
    const kept = new URLSearchParams();
    for (const [name, value] of new FormData(form)) {
      if (value.trim() && !(name.startsWith("change:") && Number(value) === 0)) kept.append(name, value.trim());
    }
    return kept;
  };

  const keyed = (place) => new Map([...place.querySelectorAll("[data-key]")].map((one) => [one.dataset.key, one]));

  const show = (html) => {
    const before = new Map([...keyed(answer)].map(([key, one]) => [key, one.dataset.said || one.textContent]));
    const open = new Set([...answer.querySelectorAll("details[open]")].map((one) => one.id));
    const at = answer.querySelector("#at") && answer.querySelector("#at").value;
    answer.innerHTML = html;
    for (const [key, one] of keyed(answer)) {
      one.dataset.said = one.textContent;
      if (before.has(key) && before.get(key) !== one.dataset.said) {
        one.classList.add("changed");
        const was = document.createElement("span");
        was.className = "was";
        was.textContent = ` (was ${before.get(key)})`;
        one.append(was);
      }
    }
    for (const one of answer.querySelectorAll("details")) if (open.has(one.id)) one.open = true;
    if (at && answer.querySelector("#at")) answer.querySelector("#at").value = at;
    ready();
  };

  const fit = (html) => {
    const at = document.activeElement;
    form.innerHTML = html;
    const same = (one) => one.name === at.name && one.type === at.type && (one.type !== "checkbox" || one.value === at.value);
    const again = at.name && [...form.elements].find(same);
    if (again) again.focus();
    older = false;
  };

  const say = (text, wrong) => {
    state.textContent = text;
    document.body.classList.toggle("stale", Boolean(wrong));
  };

  const ask = async (because) => {
    if (asking) asking.abort();
    const mine = (asking = new AbortController());
    const given = query();
    const sent = String(given);
    given.set("tab", tab);
    say("working it out …");
    try {
      const reply = await fetch(`/ask?${given}`, { headers: { accept: "application/json" }, signal: mine.signal });
      if (reply.status === 409 || asking !== mine) return;
      if (!reply.ok) throw new Error(`${reply.status}`);
      const made = await reply.json();
      version = made.version;
      if (made.ok) {
        asked = made.address;
        history.replaceState(null, "", made.address);
        document.title = made.title;
        show(made.html);
        if (older && sent === String(query())) fit(made.form); // else somebody has typed on
        good = clock();
        say(`${because || "answered"} at ${good}`);
      } else {
        say(`Not answered at ${clock()}. Below is the last good answer, of ${good}; it no longer holds.`, true);
      }
      document.getElementById("mistakes").innerHTML = made.ok ? "" : made.html;
    } catch (error) {
      if (error.name !== "AbortError") say(ENDED(), true);
    }
  };

  const follow = async () => {
    for (;;) {
      try {
        const reply = await fetch(`/changed?since=${version}`);
        if (!reply.ok) throw new Error();
        const now = (await reply.json()).version;
        if (now !== version) {
          version = now;
          older = true;
          await ask("a file was saved; answered anew");
        }
      } catch {
        say(ENDED(), true);
        await new Promise((after) => setTimeout(after, 2000));
      }
    }
  };

  // What is only worked out when it is looked at: charts, drawings, buying.
  const fill = async (one) => {
    if (one.dataset.of === asked) return;
    one.dataset.of = asked;
    one.textContent = "working it out …";
    const given = new URLSearchParams(asked.split("?")[1] || "");
    if (one.dataset.about) given.set("about", one.dataset.about);
    given.set("tab", tab);
    if (one.dataset.part === "finder") return framed(one, given);
    try {
      const reply = await fetch(`/part/${one.dataset.part}?${given}`);
      if (reply.status !== 409) one.innerHTML = await reply.text();
      reading();
    } catch {
      one.textContent = "not answered";
      delete one.dataset.of;
    }
  };

  // A page of its own within this one, as high as what it says.
  const framed = (one, given) => {
    const frame = document.createElement("iframe");
    frame.title = one.parentElement.querySelector("summary").textContent;
    frame.src = `/part/${one.dataset.part}?${given}`;
    frame.addEventListener("load", () => {
      const inside = frame.contentDocument; // none where the question was overtaken
      if (!inside) return;
      const fit = () => (frame.style.height = `${inside.body.getBoundingClientRect().bottom + 24}px`);
      new ResizeObserver(fit).observe(inside.body);
      fit();
    });
    one.replaceChildren(frame);
  };

  // The chart answers at one length: by the pointer over it, by its slider, or typed.
  const reading = () => {
    const at = document.getElementById("at");
    const out = document.getElementById("at-says");
    if (!at || !out) return;
    const steps = [...document.querySelectorAll("#profile [data-step]")];
    const value = Number(at.value);
    const units = at.dataset.units;
    const said = steps.map((step) => {
      const found = [...step.children].find((one) => {
        const low = Number(one.dataset.low), high = Number(one.dataset.high);
        return (value > low || (value === low && one.dataset.lowIn)) && (value < high || (value === high && one.dataset.highIn));
      });
      return `${found ? found.dataset.count : 0} ${step.dataset.step}`;
    });
    out.textContent = `At ${at.value} ${units}: ${said.join(", ")}.`;
  };

  const ready = () => {
    for (const one of answer.querySelectorAll("details[data-part]")) {
      const inner = one.querySelector(".later");
      Object.assign(inner.dataset, one.dataset);
      one.addEventListener("toggle", () => one.open && fill(inner));
      if (one.open) setTimeout(() => inner.isConnected && fill(inner), 400); // not while somebody goes on changing
    }
    reading();
  };

  let soon = 0;
  form.addEventListener("input", (event) => {
    older ||= ["rig", "pool"].includes(event.target.name);
    clearTimeout(soon);
    soon = setTimeout(ask, 30);
  });
  form.addEventListener("submit", (event) => { event.preventDefault(); ask(); });
  document.addEventListener("input", (event) => event.target.id === "at" && reading());
  document.addEventListener("pointermove", (event) => {
    const chart = event.target.closest && event.target.closest("[data-chart]");
    const at = document.getElementById("at");
    if (!chart || !at) return;
    const box = chart.getBoundingClientRect();
    const [left, right] = [Number(chart.dataset.left), Number(chart.dataset.right)];
    const share = ((event.clientX - box.left) / box.width - left) / (right - left);
    if (share < 0 || share > 1) return;
    const [low, high] = [Number(at.min), Number(at.max)];
    at.value = String(low + share * (high - low));
    reading();
  });
  ready();
  follow();
})();
