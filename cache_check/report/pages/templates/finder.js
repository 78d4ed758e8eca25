"use strict";
/* The finder of a crew page.  Charts, and what straps hold, were worked out beforehand and are only looked up.  What is
   computed here: a typed number in base units, the triangle, what a load puts along the strut and along the ground,
   comparing, and counting pieces.  A verdict is the worst of its links, as everywhere: one that does not hold makes it
   NOT MET, else one that is not known NOT KNOWN.  Fractions are [top, bottom] of whole numbers, so that a limit met
   exactly is met and nothing passes one by the noise of a float. */
(() => {
  const NUMBER = /^(?:(\d{1,7})[ -]+(\d{1,3})\/(\d{1,3})|(\d{1,3})\/(\d{1,3})|(\d{1,9})|(\d{0,9})\.(\d{1,6}))$/;
  const SHOWN = 8;
  const CAUTION = "A planning aid, not a load rating. The maker's current chart and label come first. Inspect before "
    + "use, check again after every movement; nobody goes under or between on a strut that has not been verified.";
  const step = (ruled) => `Each answer is on the step buildable, by itself; ${ruled ? "with its straps, restrained"
    : "none is called restrained, since no rule says how many straps hold a base"}. How many stand at once is told on `
    + "this page by length. Friction is not counted.";

  /* ---- exact numbers ---- */

  const times = (a, b) => [a[0] * b[0], a[1] * b[1]];
  const plus = (a, b) => [a[0] * b[1] + b[0] * a[1], a[1] * b[1]];
  const atMost = (a, b) => a[0] * b[1] <= b[0] * a[1];
  const whole = (number) => [BigInt(number), 1n];
  const over = (text) => text.split("/").map(BigInt);

  /** A float with its dust off: 12 digits, as Python settles it. */
  const settled = (value) => Number(value.toPrecision(12));

  /** A coefficient as an exact fraction: the small one that it is but for the 12th digit, else its 12 digits. */
  function exact(value) {
    for (let bottom = 1; bottom <= 1000; bottom += 1) {
      const top = Math.round(value * bottom);
      if (Math.abs(top / bottom - value) <= Math.abs(value) * 1e-12) return [BigInt(top), BigInt(bottom)];
    }
    const [digits, power] = value.toExponential(11).split("e");
    const top = BigInt(digits.replace(".", "")), scale = Number(power) - 11;
    return scale >= 0 ? [top * 10n ** BigInt(scale), 1n] : [top, 10n ** BigInt(-scale)];
  }

  /** A fraction in whole steps: "up", "down" or "nearest" (ties go up); none of ours is under 0. */
  function stepped(value, way) {
    const [top, bottom] = value;
    if (way === "up") return (top + bottom - 1n) / bottom;
    return way === "down" ? top / bottom : (2n * top + bottom) / (2n * bottom);
  }

  /** A fraction of a unit with its digits and commas, rounded the way that is asked. */
  function shown(value, digits, way) {
    const text = String(stepped(times(value, [10n ** BigInt(digits), 1n]), way)).padStart(digits + 1, "0");
    const front = text.slice(0, text.length - digits).replace(/\B(?=(\d{3})+$)/g, ",");
    return digits ? `${front}.${text.slice(-digits)}` : front;
  }

  /* ---- what was typed ---- */

  /** What a field says, as a fraction; throws in words that go beside it. */
  function read(text, unit, example) {
    let said = text.trim();
    if (unit && said.toLowerCase().endsWith(unit.toLowerCase())) said = said.slice(0, -unit.length).trim();
    if (said.includes(",")) throw Error("A comma reads as thousands or as a decimal: write the number without.");
    const found = NUMBER.exec(said);
    if (!found) throw Error(`Write a plain number${unit ? ` in ${unit}` : ""}, for example ${example}.`);
    const [, front, top, bottom, topOnly, bottomOnly, plain, before, after] = found;
    const under = BigInt(bottom || bottomOnly || 1);
    if (under === 0n) throw Error("That divides by zero.");
    if (top) return [BigInt(front) * under + BigInt(top), under];
    if (topOnly) return [BigInt(topOnly), under];
    return plain ? [BigInt(plain), 1n] : [BigInt((before || "0") + after), 10n ** BigInt(after.length)];
  }

  /** What one finder was given, and the words in which it says things. */
  class Given {
    constructor(data) {
      this.data = data;
      this.nm = BigInt(data.units.length.nm);
      this.grain = 10n ** BigInt(data.units.force.digits + data.units.force.finer);
      this.lengthUnit = data.units.length.name;
      this.forceUnit = data.units.force.name;
    }

    bareLength(nm, way) { return shown([BigInt(nm), this.nm], this.data.units.length.digits, way); }

    length(nm, way) { return `${this.bareLength(nm, way)} ${this.lengthUnit}`; }

    force(grains, way) {
      return `${shown(times(grains, [1n, this.grain]), this.data.units.force.digits, way)} ${this.forceUnit}`;
    }

    readLength(text, orNone) {
      const example = this.lengthUnit === "in" ? "58.5 or 58 1/2" : "1486";
      const [top, bottom] = times(read(text, this.lengthUnit, example), [this.nm, 1n]);
      if (top % bottom) throw Error("That is finer than 1/64 in or 0.000001 mm.");
      if (top === 0n && !orNone) throw Error("It must be more than 0.");
      return Number(top / bottom);
    }

    readForce(text) {
      const example = this.forceUnit === "lbf" ? "6000" : "26.7";
      const grains = times(read(text, this.forceUnit, example), [this.grain, 1n]);
      if (grains[0] === 0n) throw Error("It must be more than 0; leave it blank if nobody knows it.");
      return [stepped(grains, "up"), 1n];
    }
  }

  /* ---- the triangle and the forces ---- */

  const RADIANS = Math.PI / 180;
  const sine = (deg) => (deg === 90 ? 1 : Math.sin(deg * RADIANS));
  const cosine = (deg) => (deg === 90 ? 0 : Math.cos(deg * RADIANS));

  /** Length (nm, up to the next), base out (nm) and angle (degrees); null where it takes a height that nobody gave. */
  function triangle(known, height, value) {
    if (known === "angle") {
      const length = Math.ceil(settled(height / sine(value)));
      return { length, offset: Math.round(settled((height * cosine(value)) / sine(value))), angle: value };
    }
    if (known === "offset") {
      const angle = Math.atan2(height, value) / RADIANS;
      return { length: Math.ceil(settled(Math.sqrt(height * height + value * value))), offset: value, angle };
    }
    if (height === null) return { length: value, offset: null, angle: null };
    const offset = Math.sqrt((value - height) * (value + height));
    return { length: value, offset: Math.round(settled(offset)), angle: Math.asin(height / value) / RADIANS };
  }

  /** Whether a fraction of a degree lies within the angles that the rules allow; said in words where not. */
  function refused(given, angle) {
    const { rules, flattest, steepest } = given.data.angles;
    const at = settled(settled(angle) * 1e6);
    if (at >= flattest && at <= steepest) return "";
    const [way, most, limit, outward, mend] = at < flattest
      ? ["flatter", "flattest", flattest, Math.floor, "Bring the base in, or take a higher contact."]
      : ["steeper", "steepest", steepest, Math.ceil, "Move the base out."];
    const by = rules ? `the ${most} that ${rules} allows` : "the limit of what is a strut";
    const said = `${degrees(angle, outward)} from the horizontal is ${way} than ${limit / 1e6}°`;
    return `NOT MET: ${said}, ${by}. ${mend}`;
  }

  const degrees = (angle, way = Math.round) => `${way(settled(angle * 100)) / 100}°`;

  /** What a load (grains) puts along the strut and along the ground at an angle; null where it is not known. */
  function forces(given, ask, angle) {
    if (ask.load === null) return { axial: null, thrust: null };
    if (angle === null) return { axial: ask.load, thrust: null };
    const [sin, cos] = [sine(angle), cosine(angle)];
    const along = ask.way === "upright" ? 1 / sin : 1;
    const lifted = along * sin;
    const practice = Math.abs(angle - 45) <= 1e-9 ? lifted * given.data.sideways_at_45 : 0;
    const out = Math.max(along * cos, practice, lifted * given.data.least_sideways);
    return { axial: times(exact(along), ask.load), thrust: times(exact(out), ask.load) };
  }

  /** What pre-tension of so many straps presses into the strut. */
  function pressed(given, fan, angle) {
    const tight = whole(given.data.pretension);
    if (!tight[0] || fan === null || angle === null || angle === 90) return whole(0);
    return times(exact(given.data.fans[fan][3] / cosine(angle)), tight);
  }

  /* ---- looking up ---- */

  /** What a line is rated for at factor 1 (grains) at a length, so far as it is known, up to where, and its state.
      A factor that nobody asked for raises nothing over what the maker marked. */
  function ratedAt(line, length, ask) {
    const none = [null, "does not hold", null, null];
    const [end, state, load, marked] = line.rated.find(([most]) => length <= most) || none;
    if (load === null) return { end, state, load };
    const most = times(whole(marked), ask.factor);
    const less = ask.unsaid && !atMost(whole(load), most);
    return { end, state, load: less ? most : whole(load), marked: less };
  }

  const covers = (line, length) => line.spans.some(([low, high]) => low <= length && length <= high);

  /** The need with so many more pieces of some parts. */
  function added(need, pieces) {
    for (const [part, number] of pieces) need.set(part, (need.get(part) || 0) + number);
    return need;
  }

  /** Pieces that a stack takes, pins included, by part. */
  const taken = (parts, pins) => added(new Map(), [...parts.map((part) => [part, 1]), ...pins]);

  const enough = (have, need) => [...need].every(([part, number]) => have[part] >= number);

  const less = (have, need) => have.map((number, part) => Math.max(0, number - (need.get(part) || 0)));

  /** What is left: usable pieces, loose ones, and bases with points enough, once what is out is taken off. */
  function stock(given, ask) {
    const { parts, sets } = given.data;
    const out = parts.map((_, part) => ask.outs.get(part) || 0);
    let usable = parts.map((part, n) => Math.max(0, part.usable - out[n]));
    let pointed = parts.map((part, n) => Math.max(0, part.pointed - out[n]));
    for (const n of ask.setsOut) {
      usable = less(usable, taken(sets[n].parts, sets[n].pins));
      pointed = less(pointed, taken(sets[n].parts, []));
    }
    const loose = parts.map((part, n) => Math.min(usable[n], Math.max(0, part.loose - out[n])));
    return { out, usable, loose, pointed };
  }

  /** Whether so many straps are too few by one rating's thrusts; of a thrust that is not known, whether any is. */
  function weak(holds, fan, thrust) {
    if (holds === null) return false;
    return thrust === null ? holds[fan] === "0" : !atMost(thrust, whole(holds[fan]));
  }

  /** What holds a base, each with its words: the strap, the points, the hardware of each strap. */
  function holders(given, tie, base) {
    const { points, hardware, parts } = given.data;
    const each = tie.needs.map(([part]) => [parts[part].name, hardware[part]]);
    const found = [["strap or chain", tie.holds], ["points of its base", points[base]], ...each];
    return found.filter(([, holds]) => holds !== undefined);
  }

  /** The fewest straps, as a fan, of which nothing is too weak; else of the strap alone, else the ruled number.
      More straps do not always hold more, so each is looked at. */
  function fanOf(given, tie, thrust, base) {
    const { fans } = given.data;
    const all = holders(given, tie, base);
    const holds = (which) => fans.findIndex((_, fan) => !which.some(([, one]) => weak(one, fan, thrust)));
    const [first, strong] = [holds(all), holds(all.slice(0, 1))];
    return first >= 0 ? first : Math.max(0, strong);
  }

  /** What so many straps take of what is left, and what of it is short. */
  function taking(given, have, tie, fan) {
    const number = given.data.fans[fan][0];
    const need = added(new Map([[tie.part, number]]), tie.needs.map(([part, each]) => [part, each * number]));
    const short = [...need].filter(([part, wanted]) => have.usable[part] < wanted);
    const lacks = ([part, wanted]) => `it takes ${wanted} x ${given.data.parts[part].name}, ${have.usable[part]} left`;
    return { need, short: short.map(lacks) };
  }

  /** How a base is held by the strap alone, whatever base it is: which fan, what that takes, and why not. */
  function restraint(given, ask, have, thrust) {
    const { ties, fans, least_ties: least, half_angles: half, parts } = given.data;
    const none = (why, tie, fan) => ({ fan, need: new Map(), why, says: `NOT RESTRAINED: ${why}.`, tie });
    if (ask.tie === null) return none("no strap or chain on the book", null, null);
    if (!fans.length) return none("the rules leave no way of holding a base with it", null, null);
    const tie = ties[ask.tie];
    const fan = fanOf(given, tie, thrust, null);
    if (tie.holds === null) return none("nobody knows what this strap or chain is rated for", tie, fan);
    if (weak(tie.holds, fan, thrust)) {
      return none(`up to ${fans[fans.length - 1][0]} of it on one base do not hold this thrust`, tie, fan);
    }
    const [number, eachSide, onLine] = fans[fan];
    const { need, short } = taking(given, have, tie, fan);
    const middle = onLine ? ` and ${onLine} on it` : "";
    const run = `${eachSide} on each side of the strut's line${middle}, ${half[0]} to ${half[1]} from it`;
    const ruled = least ? `never under ${least} on a base` : "no rule says how many hold a base";
    const holds = thrust === null
      ? `${ruled}; the thrust is unknown, so more may be needed`
      : `level, they hold a thrust of ${given.force(whole(tie.holds[fan]), "down")}; ${ruled}`;
    const left = `${have.usable[tie.part] - number} left then`;
    const takes = `Straps on the base: ${number} x ${parts[tie.part].name}, ${run}; ${holds}; ${left}.`;
    const why = short.join("; ");
    return { fan, need, why, says: why ? `NOT RESTRAINED: ${why}.` : takes, tie };
  }

  /* ---- the answer ---- */

  /** Where not every piece of a base has points enough, how many have. */
  function someOf(given, have, base) {
    const all = have.usable[base], fit = have.pointed[base];
    const name = given.data.parts[base].name;
    return fit && fit < all ? `only ${fit} of ${all} x ${name} have points enough: take one of those` : "";
  }

  const WORDS = [["MET", "met"], ["NOT KNOWN", "unknown"], ["NOT MET", "not"]];

  /** One stack: every link that does not hold, or that nobody knows; the verdict is the worst of them. */
  function judged(given, ask, shape, have, held, strut, line) {
    const base = line.parts[0];
    const fan = held.tie ? fanOf(given, held.tie, strut.thrust, base) : null;
    const bound = unheld(given, have, held, fan, strut.thrust, base);
    const tight = pressed(given, fan, shape.angle);
    const rated = ratedAt(line, shape.length, ask);
    const links = [unrated(ask, strut, tight, rated), bound, turned(given, ask, shape, tight)];
    const no = links.flatMap((link) => link.no), unknown = links.flatMap((link) => link.unknown);
    if (ask.load === null) unknown.unshift("the load");
    if (shape.angle === null) unknown.unshift("the angle");
    unknown.push(...headUnknown(given, ask, line), ...given.data.unstated);
    const rank = no.length ? 2 : Number(unknown.length > 0);
    const rates = rated.state === "holds";
    const load = rates && times(rated.load, [ask.factor[1], ask.factor[0]]);
    const at = rates ? { load, end: rated.end, marked: rated.marked } : null;
    const more = fan !== null && fan !== held.fan && !bound.no.length ? `take ${given.data.fans[fan][0]} straps` : "";
    return { line, rated: at, no, unknown, rank, also: [more, someOf(given, have, base)].filter(Boolean) };
  }

  /** What nobody knows of the head in its place: the contact, what it is made for, or whether it is met squarely. */
  function headUnknown(given, ask, line) {
    if (!given.data.head_asked) return [];
    if (!ask.contact) return ["what the head stands against"];
    if (!given.data.parts[line.parts[line.parts.length - 1]].fits.length) return ["what its head is made for"];
    const squarely = `whether it meets the ${ask.contact} contact squarely (else only friction holds it)`;
    return given.data.by_friction.includes(ask.contact) ? [squarely] : [];
  }

  /** What does not hold a base, and what nobody knows of what should. */
  function unheld(given, have, held, fan, thrust, base) {
    const no = have.pointed[base] ? [] : ["its base has too few attachment points"];
    if (fan === null) return { no: [...no, `its base is NOT RESTRAINED: ${held.why}`], unknown: [] };
    const all = holders(given, held.tie, base);
    no.push(...taking(given, have, held.tie, fan).short.map((why) => `its base is NOT RESTRAINED: ${why}`));
    const broken = all.filter(([, holds]) => weak(holds, fan, thrust));
    no.push(...broken.map(([name]) => `${name}: too weak for this thrust`));
    return { no, unknown: all.filter(([, holds]) => holds === null).map(([name]) => `limit of ${name}`) };
  }

  /** What the strut itself is not rated for, the load and what pre-tension presses into it taken together. */
  function unrated(ask, strut, tight, rated) {
    const no = rated.state === "does not hold" ? ["UNRATED: no chart value"] : [];
    const along = strut.axial === null ? tight : plus(strut.axial, tight);
    if (rated.load !== null && !atMost(times(along, ask.factor), rated.load)) no.push("NOT rated for it");
    return { no, unknown: rated.state === "unknown" ? ["its rated load"] : [] };
  }

  /** Whether pre-tension alone lifts more of an upright load than the rule allows. */
  function turned(given, ask, shape, tight) {
    const { push_share: most, pretension, allowance } = given.data;
    if (most === null || !BigInt(pretension) || shape.angle === 90) return { no: [], unknown: [] };
    if (shape.angle === null || ask.load === null || ask.way !== "upright") {
      return { no: [], unknown: ["what pre-tension would move"] };
    }
    const [top, bottom] = over(allowance);
    const lifted = times(tight, exact(sine(shape.angle)));
    const no = atMost(lifted, times(over(most), times(ask.load, [bottom, top])));
    return { no: no ? [] : ["pre-tension alone lifts too much of this load"], unknown: [] };
  }

  const byRank = (a, b) => a.rank - b.rank || a.no.length - b.no.length || a.line.joints - b.line.joints;

  /** Everything that answers a question. */
  function answered(given, ask) {
    const shape = triangle(ask.known, ask.height, ask.value);
    const bad = shape.angle === null ? "" : refused(given, shape.angle);
    if (bad) return { bad };
    const have = stock(given, ask);
    const strut = forces(given, ask, shape.angle);
    const held = restraint(given, ask, have, strut.thrust);
    const shows = strut.axial && plus(strut.axial, pressed(given, held.fan, shape.angle));
    const judge = (line) => judged(given, ask, shape, have, held, strut, line);
    const there = given.data.lines.filter((line) => enough(have.usable, taken(line.parts, line.pins)));
    const able = there.filter((line) => covers(line, shape.length) && suits(given, line, ask.contact));
    const isLoose = (line) => enough(have.loose, taken(line.parts, line.pins));
    const ranked = (wanted) => able.filter((line) => isLoose(line) === wanted).map(judge).sort(byRank);
    const sets = given.data.sets.map((one, n) => setJudged(given, ask, shape, have, one, n, judge));
    return { shape, strut, shows, have, held, there, sets, loose: ranked(true), apart: ranked(false) };
  }

  /** Whether the head is made for a contact; where nobody says for what it is made, that is told beside it. */
  function suits(given, line, contact) {
    const { fits } = given.data.parts[line.parts[line.parts.length - 1]];
    return !contact || !fits.length || fits.includes(contact);
  }

  /** A ready set: why it must not be used, whether it reaches, and the verdict. */
  function setJudged(given, ask, shape, have, one, n, judge) {
    const { parts } = given.data;
    const gone = [...taken(one.parts, one.pins).keys()].filter((part) => have.out[part] > 0);
    const why = [...one.unfit];
    if (ask.setsOut.has(n)) why.push("it is out");
    if (one.line && !suits(given, one.line, ask.contact)) why.push(`its head is not made for: ${ask.contact}`);
    why.push(...gone.map((part) => `${have.out[part]} x ${parts[part].name} out, which may be in this set`));
    const reaches = one.line !== null && covers(one.line, shape.length);
    return { one, why, reaches, ...(one.line === null ? {} : judge(one.line)) };
  }

  /* ---- showing it ---- */

  function make(tag, className, ...inside) {
    const made = document.createElement(tag);
    if (className) made.className = className;
    made.append(...inside);
    return made;
  }

  /** Part names in a row, each kept from steering the others. */
  function named(given, parts) {
    const made = make("bdi", "stack");
    parts.forEach((part, n) => made.append(n ? " + " : "", make("bdi", "", given.data.parts[part].name)));
    return made;
  }

  /** The lines under one stack. */
  function facts(given, ask, shape, found) {
    const { line } = found;
    const own = given.length(shape.length - line.fixed, "nearest");
    const head = given.data.parts[line.parts[line.parts.length - 1]];
    const upTo = found.rated && `up to ${given.length(found.rated.end, "down")}`;
    const rated = found.rated
      ? `rated ${given.force(found.rated.load, "down")} ${found.rated.marked ? "as marked" : `at ${ratioOf(ask.factor)}`}, ${upTo}`
      : "rated load: none known";
    const made = head.contacts ? `head made for ${head.contacts}` : "nobody says what its head is made for";
    return `body set to ${own}; ${rated}; weight ${line.weight}; ${made}`;
  }

  const ratioOf = ([top, bottom]) => `${Number((Number(top) / Number(bottom)).toPrecision(6))}:1`;

  function verdictOf(found) {
    const [words, kind] = WORDS[found.rank];
    const open = found.unknown.length ? [`${found.no.length ? "not known: " : ""}${found.unknown.join(", ")}`] : [];
    const said = [...found.no, ...open, ...found.also].join("; ");
    return make("p", `verdict ${kind}`, make("strong", "", words), said && `: ${said}`);
  }

  function setShown(given, ask, answer, found) {
    const name = make("strong", "", "Set ", make("bdi", "", found.one.name));
    const lies = [", lies in ", make("bdi", "", found.one.where), ": "];
    const item = make("li", "found", make("p", "", name, ...lies, named(given, found.one.parts)));
    if (found.why.length) {
      item.append(make("p", "verdict not", make("strong", "", "DO NOT USE"), `: ${found.why.join("; ")}`));
      return item;
    }
    const { spans } = found.line;
    if (!found.reaches) {
      const from = given.bareLength(spans[0][0], "up"), to = given.length(spans[spans.length - 1][1], "down");
      const steps = spans.length > 1 ? " in steps" : "";
      item.append(make("p", "", `does not make this length; it is set from ${from} to ${to}${steps}`));
      return item;
    }
    const said = `as it lies, no joint to make; ${facts(given, ask, answer.shape, found)}`;
    item.append(make("p", "", said), verdictOf(found));
    item.append(leftBehind(given, less(answer.have.loose, answer.held.need)));
    return item;
  }

  function leftBehind(given, left) {
    const some = left.map((number, part) => (number ? `${number} x ${given.data.parts[part].name}` : ""));
    const said = make("p", "", some.filter(Boolean).join(", ") || "nothing");
    return make("details", "", make("summary", "", "What stays behind, loose"), said);
  }

  function buildShown(given, ask, answer, found, have) {
    const { line } = found;
    const joints = `${line.joints} joint${line.joints === 1 ? "" : "s"} to make`;
    const item = make("li", "found", make("p", "", make("strong", "", named(given, line.parts))));
    item.append(make("p", "", `${joints}; ${facts(given, ask, answer.shape, found)}`), verdictOf(found));
    item.append(leftBehind(given, less(less(have, taken(line.parts, line.pins)), answer.held.need)));
    return item;
  }

  /** A list under its words, the first few open and the rest to unfold. */
  function listed(className, says, items) {
    const made = make("div", className, make("p", "lead", make("strong", "", says)));
    if (items.length) made.append(make("ul", "", ...items.slice(0, SHOWN)));
    if (items.length > SHOWN) {
      const more = make("details", "more", make("summary", "", `${items.length - SHOWN} more`));
      more.append(make("ul", "", ...items.slice(SHOWN)));
      made.append(more);
    }
    return made;
  }

  /** The lengths next to one that nothing makes, each with a button that asks for it. */
  function nearest(given, answer, again) {
    const usable = answer.sets.filter((found) => !found.why.length).map((found) => found.line);
    const spans = [...answer.there, ...usable].flatMap((line) => line.spans);
    const { length } = answer.shape;
    const below = spans.reduce((most, [, high]) => (high < length ? Math.max(most, high) : most), -Infinity);
    const above = spans.reduce((least, [low]) => (low > length ? Math.min(least, low) : least), Infinity);
    const lead = make("strong", "", `Nothing left here makes ${given.length(length, "nearest")}.`);
    const made = make("div", "nearest", make("p", "lead", lead));
    for (const [near, way, where] of [[below, "down", "below"], [above, "up", "above"]]) {
      const text = Number.isFinite(near) ? given.length(near, way) : "none";
      made.append(make("p", "", `Nearest ${where} it: ${text}`));
      if (!Number.isFinite(near)) continue;
      const button = make("button", "again", `Ask for ${text}`);
      button.type = "button";
      button.addEventListener("click", () => again(near, given.bareLength(near, way).replaceAll(",", "")));
      made.append(button);
    }
    return made;
  }

  function head(given, ask, answer) {
    const { shape, held } = answer;
    const out = shape.offset === null ? "" : `, base ${given.length(shape.offset, "nearest")} out`;
    const angle = shape.angle === null ? "" : `, ${degrees(shape.angle)} from the horizontal`;
    const made = [make("p", "big", `Strut ${given.length(shape.length, "nearest")}${out}${angle}`)];
    made.push(make("p", "at-once", make("strong", "", atOnce(given, ask, shape.length))));
    made.push(make("p", "", "From seat to seat; base out from straight under the contact."));
    if (shape.angle === null) {
      const { flattest, steepest } = given.data.angles;
      const limits = `between ${flattest / 1e6}° and ${steepest / 1e6}° from the horizontal`;
      made.push(make("p", "", `Angle unknown: it must stand ${limits}. Give the contact height to have it checked.`));
    }
    made.push(make("p", "", loadSaid(given, ask, answer)), make("p", held.why ? "verdict not" : "", held.says));
    return made;
  }

  /** How many struts of this length stand at once by the book, which is another question than which builds there are. */
  function atOnce(given, ask, length) {
    const { step, stretches } = given.data.at_once;
    if (ask.outs.size || ask.setsOut.size) return "How many at once with parts out is not worked out here.";
    const inside = ([low, lowIn, high, highIn]) =>
      (lowIn ? length >= low : length > low) && (highIn ? length <= high : length < high);
    const found = stretches.find(inside);
    return `At once at this length: ${found ? found[4] : 0} ${step}; load and contact are not asked in this count.`;
  }

  function loadSaid(given, ask, { strut, shows, shape }) {
    const factor = `Design factor ${ratioOf(ask.factor)}.`;
    if (strut.axial === null) return `Load unknown: not compared with any rating. ${factor}`;
    const thrust = strut.thrust === null ? "unknown, since the angle is" : given.force(strut.thrust, "up");
    const tight = whole(given.data.pretension);
    const counted = shape.angle === null ? "not counted, since the angle is unknown" : "counted";
    const pressing = tight[0] ? ` Pre-tension of ${given.force(tight, "up")} in each strap is ${counted}.` : "";
    const along = `Along the strut ${given.force(shows, "up")}`;
    return `${along}; its base pushes out with ${thrust}.${pressing} ${factor}`;
  }

  function outSaid(given, ask) {
    const parts = [...ask.outs].map(([part, number]) => `${number} x ${given.data.parts[part].name}`);
    const sets = [...ask.setsOut].map((n) => `set ${given.data.sets[n].name}`);
    return `Counted as out: ${[...parts, ...sets].join(", ") || "nothing"}.`;
  }

  function answerShown(given, ask, again) {
    const answer = answered(given, ask);
    if (answer.bad) return [make("p", "verdict not", make("strong", "", answer.bad)), make("p", "caution", CAUTION)];
    const made = head(given, ask, answer);
    const does = [...answer.sets.filter((one) => one.reaches && !one.why.length), ...answer.loose, ...answer.apart];
    made.push(does.length ? summary(does) : nearest(given, answer, again));
    const sets = answer.sets.map((found) => setShown(given, ask, answer, found));
    made.push(listed("sets", sets.length ? "Ready sets" : "No ready set stands built.", sets));
    made.push(...buildsShown(given, ask, answer));
    made.push(make("p", "", outSaid(given, ask)), make("p", "", step(given.data.least_ties)), make("p", "caution", CAUTION));
    return made;
  }

  /** How many do it, first of all: a list of builds that do not is easily taken for an answer. */
  function summary(does) {
    const counts = WORDS.map(([words], rank) => [does.filter((found) => found.rank === rank).length, words]);
    const said = counts.map(([number, words]) => `${number || "NONE"} ${words}`).join(", ");
    const kind = WORDS[Math.min(...does.map((found) => found.rank))][1];
    return make("p", `verdict ${kind}`, make("strong", "", `Builds to choose from, not struts at once: ${said}.`));
  }

  function buildsShown(given, ask, answer) {
    const { unlisted } = given.data;
    if (unlisted) {
      return [make("p", "", `Loose builds are not looked for: this cache makes ${unlisted}, too many to list here.`)];
    }
    const { usable, loose } = answer.have;
    const fromLoose = answer.loose.map((found) => buildShown(given, ask, answer, found, loose));
    const apart = answer.apart.map((found) => buildShown(given, ask, answer, found, usable));
    const says = fromLoose.length ? `${fromLoose.length} to build of loose parts` : "Nothing to build of loose parts.";
    const more = apart.length ? [listed("apart", `${apart.length} more, only by taking ready sets apart`, apart)] : [];
    return [listed("loose", says, fromLoose), ...more];
  }

  /* ---- the form ---- */

  /** One finder of the page. */
  class Finder {
    constructor(root) {
      this.given = new Given(JSON.parse(root.querySelector(".finder-data").textContent));
      this.form = root.querySelector("form");
      this.answer = root.querySelector(".answer");
      this.near = null;
      this.form.hidden = false;
      this.form.addEventListener("submit", (event) => { event.preventDefault(); this.find(); });
      this.form.addEventListener("input", () => this.changed());
      this.key = `cache-check ${location.pathname} ${root.id}`;
      this.anew();
      this.back();
      addEventListener("pageshow", (event) => { if (event.persisted) this.back(); });
    }

    typed() { return [...this.form.querySelectorAll("input, select")]; }

    /** What was typed before the page was loaded anew, asked anew: never an old answer. */
    back() {
      let kept = null;
      try { kept = JSON.parse(sessionStorage.getItem(this.key)); } catch { /* a browser that keeps nothing */ }
      const fields = this.typed();
      if (!Array.isArray(kept) || kept.length !== fields.length) return;
      fields.forEach((one, n) => { if (one.type === "checkbox") one.checked = kept[n] === true; else one.value = kept[n]; });
      this.label();
      if (this.field("value").value) this.find(false);
    }

    keep() {
      const said = this.typed().map((one) => (one.type === "checkbox" ? one.checked : one.value));
      try { sessionStorage.setItem(this.key, JSON.stringify(said)); } catch { /* a browser that keeps nothing */ }
    }

    field(name) { return this.form.elements.namedItem(name); }

    /** As when the page was made: nothing typed, nothing out, no answer. */
    anew() {
      this.form.reset();
      this.form.querySelectorAll("details").forEach((one) => { one.open = false; });
      this.near = null;
      this.answer.replaceChildren();
      this.mistakes(new Map());
      this.label();
    }

    /** An answer never stands beside other numbers than its own. */
    changed() {
      this.label();
      this.keep();
      if (!this.answer.childElementCount) return;
      this.answer.replaceChildren(make("p", "", "Something was changed: press Find again."));
    }

    label() {
      const unit = this.given.lengthUnit;
      const [label, hint] = {
        angle: ["Angle from the horizontal, degrees", "90 is upright."],
        offset: [`Base out, ${unit}`, "From straight under the contact to the seat of the base, level."],
        length: [`Strut length, ${unit}`, "From seat to seat. Without the contact height the angle is not known."],
      }[this.field("known").value];
      this.form.querySelector('[data-label="value"]').textContent = label;
      this.form.querySelector('[data-hint="value"]').textContent = hint;
      this.form.querySelector(".other").hidden = this.field("factor").value !== "other";
    }

    /** What is asked, or null with what is wrong said beside each field. */
    ask() {
      const wrong = new Map();
      const tried = (name, reading) => {
        try { return reading(this.field(name).value); } catch (error) { wrong.set(name, error.message); return null; }
      };
      const known = this.field("known").value;
      const allowance = over(this.given.data.allowance);  // what a load typed is taken times
      const ask = {
        known,
        contact: this.field("contact") ? this.field("contact").value : "",
        way: this.field("way").value,
        height: tried("height", (text) => (text.trim() || known !== "length" ? this.given.readLength(text) : null)),
        value: tried("value", (text) => this.readValue(text, known)),
        load: tried("load", (text) => (text.trim() ? times(this.given.readForce(text), allowance) : null)),
        factor: this.field("factor").value === "other" ? this.readFactor(tried) : over(this.field("factor").value),
        unsaid: !this.given.data.factor_said && this.field("factor").value === this.given.data.factor,
        tie: this.field("tie").value === "" ? null : Number(this.field("tie").value),
        outs: this.readOuts(wrong),
        setsOut: new Set([...this.form.querySelectorAll("[data-set]:checked")].map((one) => Number(one.dataset.set))),
      };
      if (!wrong.size && known === "length") {  // what does not go together
        if (ask.value < (ask.height ?? 0)) wrong.set("value", "It is shorter than the contact is high.");
        const upright = ask.height === null && ask.load && ask.way === "upright";
        if (upright) wrong.set("height", "An upright load takes the contact height too, for the angle.");
      }
      this.mistakes(wrong);
      return wrong.size ? null : ask;
    }

    /** A factor typed; less than the policy of the page is never used. */
    readFactor(tried) {
      const policy = over(this.given.data.factor);
      return tried("typed", (text) => {
        const factor = read(text.replace(/\s*:\s*1\s*$/, ""), "", "2.5");
        if (!atMost(policy, factor)) throw Error(`The policy of this page asks ${ratioOf(policy)}: write that or more.`);
        return factor;
      });
    }

    readValue(text, known) {
      if (known !== "angle") {
        if (known === "length" && this.near && this.near.text === text) return this.near.nm;
        return this.given.readLength(text, known === "offset");
      }
      const [top, bottom] = read(text.replace(/\s*(°|deg|degrees)\s*$/i, ""), "", "60");
      const angle = Number(top) / Number(bottom);
      if (!(angle > 0 && angle <= 90)) throw Error("An angle from the horizontal is over 0 and at most 90 degrees.");
      return angle;
    }

    readOuts(wrong) {
      const outs = new Map();
      for (const one of this.form.querySelectorAll("[data-out]")) {
        const part = Number(one.dataset.out), { usable } = this.given.data.parts[part];
        const said = one.value.trim() || "0";
        const number = /^\d{1,6}$/.test(said) ? Number(said) : usable + 1;
        if (number > usable) wrong.set(`out-${part}`, `Write a whole number from 0 to ${usable}.`);
        else if (number) outs.set(part, number);
      }
      return outs;
    }

    mistakes(wrong) {
      for (const place of this.form.querySelectorAll("[data-wrong]")) {
        const said = wrong.get(place.dataset.wrong) || "";
        place.textContent = said;
        place.hidden = !said;
        const input = document.getElementById(place.id.replace(/-wrong$/, ""));
        if (said) input.setAttribute("aria-invalid", "true"); else input.removeAttribute("aria-invalid");
      }
      const first = this.form.querySelector('[aria-invalid="true"]');
      if (!first) return;
      const folded = first.closest("details");
      if (folded) folded.open = true;
      first.focus();
    }

    find(moved = true) {
      const ask = this.ask();
      if (!ask) return this.answer.replaceChildren(make("p", "", "No answer: see what is said beside the fields."));
      this.answer.replaceChildren(...answerShown(this.given, ask, (nm, text) => this.again(nm, text)));
      this.keep();
      if (moved) this.answer.scrollIntoView({ block: "start" });
    }

    /** The same question for another length, to the nanometre. */
    again(nm, text) {
      this.field("known").value = "length";
      this.field("value").value = text;
      this.near = { nm, text };
      this.label();
      this.find();
      this.answer.focus();
    }
  }

  document.querySelectorAll(".finder").forEach((root) => new Finder(root));
})();
