/* A second checker of proof documents, written from FORMAT.md: plain JavaScript, no dependency, for node and for pages.
   check(document) takes the text of a document, or the value that it holds. */
class Malformed extends Error {}
class Refused extends Error {}
const malformed = what => { throw new Malformed(what); }, refuse = what => { throw new Refused(what); };
const MOST_TRIALS = 2_000_000;

// Strict JSON (section 1): objects become maps, and numbers that are not written as whole ones a sign of their own -------
const INEXACT = Symbol("no whole number");
const STRING = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\\/bfnrt]|u[0-9a-fA-F]{4}))*"/.source;
const TOKEN = new RegExp(`[ \\t\\n\\r]*(?:([\\[\\]{}:,])|(${STRING})|(-?(?:0|[1-9][0-9]*))((?:\\.[0-9]+)?(?:[eE][+-]?[0-9]+)?)|(true|false|null)|($))`, "y");
function parse(text) {
  if (text.length > 16_000_000 && [...text].length > 16_000_000) malformed("more than 16,000,000 characters");
  let from = 0, count = 0, depth = 0, at;
  const step = () => { TOKEN.lastIndex = from, at = TOKEN.exec(text) ?? malformed("no JSON at character " + from), from = TOKEN.lastIndex; };
  const string = () => {
    const read = at[2] ? JSON.parse(at[2]) : malformed("a member without a name");
    return /\p{Surrogate}/u.test(read) ? malformed("a lone surrogate") : read;
  };
  const skip = mark => at[1] === mark ? step() : malformed("no " + mark + " before character " + from);
  const value = () => {
    let found;
    if (++count > 1_000_000) malformed("more than 1,000,000 values");
    if (at[1] === "[" || at[1] === "{") {
      if (++depth > 100) malformed("brackets nested more than 100 deep");
      const close = at[1] === "[" ? "]" : "}";
      found = close === "]" ? [] : new Map();
      step();
      if (at[1] !== close) for (;; skip(",")) {
        if (close === "]") found.push(value());
        else {
          const name = string();
          if (found.has(name)) malformed("the member " + JSON.stringify(name) + " twice");
          step(), skip(":"), found.set(name, value());
        }
        if (at[1] === close) break;
      }
      depth--;
    } else if (at[2]) found = string();
    else if (at[3]) {
      const read = Number(at[3] + at[4]);
      found = !(at[4] ? Number.isFinite : Number.isSafeInteger)(read) ? malformed("a number that is too large") : at[4] ? INEXACT : read;
    } else found = at[5] ? JSON.parse(at[5]) : malformed("no JSON value before character " + from);
    step();
    return found;
  };
  const root = (step(), value());
  return at[6] === undefined ? malformed("more than one JSON value") : root;
}

// Reading with an eye on the form ------------------------------------------------------------------------------------
const PRINTABLE = /^[\p{L}\p{M}\p{N}\p{P}\p{S} ]*$/u;
const object = (value, what) => value instanceof Map ? value : malformed(what + " is no object");
const member = (value, name, what) => object(value, what).has(name) ? value.get(name) : malformed(what + " lacks " + JSON.stringify(name));
const list = (value, least, most, what) =>
  Array.isArray(value) && value.length >= least && value.length <= most ? value : malformed(what + " is no list of " + least + " to " + most);
const string = (value, most, what) =>
  typeof value === "string" && [...value].length <= most && PRINTABLE.test(value) ? value : malformed(what + " is no printable text");
const whole = (value, least, most, what) =>
  typeof value === "number" && value >= least && value <= most ? value : malformed(what + " is no whole number from " + least + " to " + most);
const truth = (value, what) => typeof value === "boolean" ? value : malformed(what + " is neither true nor false");
const known = (table, name, what) => table.has(string(name, 300, what)) ? table.get(name) : malformed(what + ": unknown " + JSON.stringify(name));
const perhaps = (value, name, otherwise) => value.has(name) ? value.get(name) : otherwise;
const numbered = names => new Map(names.map((name, i) => [name, i]));
const upTo = n => [...Array(n).keys()];
function names(value, table, what, different = false) {
  const found = value === undefined ? [] : list(value, 0, Infinity, what).map(name => known(table, name, what));
  return different && new Set(found).size < found.length ? malformed(what + " lists something twice") : found;
}

// The puzzle: candidates and constraints (sections 2 to 4) ---------------------------------------------------------------
function square(order, symbols, regions, kind) {
  const lines = across => upTo(order).map(i => [(across ? "row " : "column ") + (i + 1), upTo(order).map(j => across ? i * order + j : j * order + i)]);
  const cells = upTo(order * order).map(i => "r" + (Math.floor(i / order) + 1) + "c" + (i % order + 1));
  return { order, symbols: [...symbols], cells, houses: [...lines(true), ...lines(false), ...regions.map((held, i) => [kind + " " + (i + 1), held])], rules: [] };
}
const PLAIN = "123456789ABCDEFGHIJKLMNOP";
function namedLayout(name) {
  const match = /^standard ([1-9][0-9]?)(?:, boxes ([1-9][0-9]?)x([1-9][0-9]?))?$/.exec(string(name, 40, "layout"));
  const [order, stated, broad] = match ? match.slice(1).map(Number) : [0];
  const high = stated || upTo(6).findLast(r => r > 1 && r * r <= order && order % r === 0), wide = broad || order / high;
  if (order < 4 || order > 25 || high * wide !== order) malformed("no layout is called " + JSON.stringify(name));
  const corners = upTo(order / high).flatMap(i => upTo(order / wide).map(j => i * high * order + j * wide));
  return square(order, PLAIN.slice(0, order), corners.map(at => upTo(order).map(i => at + Math.floor(i / wide) * order + i % wide)), "box");
}
function readLayout(value) {
  if (typeof value === "string") return namedLayout(value);
  if (object(value, "layout").has("problem")) return readProblem(value.get("problem"));
  const order = whole(member(value, "order", "layout"), 2, 25, "order");
  const symbols = string(perhaps(value, "symbols", PLAIN.slice(0, order)), 25, "symbols");
  if ([...symbols].length !== order || new Set(symbols).size !== order || /[\s.0_*|+\-=#{}[\]:]/u.test(symbols)) malformed("bad symbols");
  const house = (value, numbers, sorted) => {
    const found = names(value, numbers, "a house", true), back = sorted && found.some((cell, i) => cell < found[i - 1]);
    return found.length !== order || back ? malformed("a house of other cells") : found;
  };
  let layout;
  if (value.has("cells")) {
    const rows = list(value.get("cells"), 1, 99, "cells").map(row => /^[o-]*$/.test(string(row, 99, "cells")) ? row : malformed("other signs than o and -"));
    const cells = rows.flatMap((row, r) => [...row].flatMap((sign, c) => sign === "o" ? ["r" + (r + 1) + "c" + (c + 1)] : []));
    if (!cells.length) malformed("a canvas without cells");
    const houses = list(member(value, "houses", "layout"), 0, 2000, "houses").map(one => {
      const grid = object(one, "house").has("grid") ? " of grid " + whole(one.get("grid"), 1, 99, "grid") : "";
      const name = string(member(one, "kind", "house"), 40, "kind") + " " + whole(member(one, "number", "house"), 1, 999, "number");
      return [name + grid, house(member(one, "cells", "house"), numbered(cells), true)];
    });
    layout = { order, symbols: [...symbols], cells, houses };
  } else {
    const kind = string(perhaps(value, "region kind", "box"), 40, "region kind");
    const numbers = numbered(square(order, symbols, [], kind).cells), regions = list(perhaps(value, "regions", []), 0, 200, "regions");
    layout = square(order, symbols, regions.map(region => house(region, numbers, false)), kind);
  }
  const rules = list(perhaps(value, "rules", []), 0, 2000, "rules");
  return { ...layout, rules: rules.map(line => string(line, 4000, "a rule").trim() || malformed("an empty rule")) };
}
function readProblem(value) {
  const [cells, symbols] = ["variables", "values"].map(what => {
    const found = list(member(value, what, "problem"), 1, 20_000, what).map(name => string(name, 60, what));
    return new Set(found).size < found.length || found.includes("") ? malformed(what + " are not different") : found;
  });
  if (cells.length * symbols.length > 20_000) malformed("more than 20,000 candidates");
  const houses = list(member(value, "groups", "problem"), 0, 20_000, "groups").map(group => {
    const found = names(member(group, "variables", "group"), numbered(cells), "a group", true);
    whole(member(group, "from", "group"), 0, 20_000, "from");
    return [string(member(group, "name", "group"), 300, "name"), found.length === symbols.length ? found : malformed("a group of another size")];
  });
  return { order: symbols.length, symbols, cells, houses, rules: [], problem: true, bare: value.has("constraints") };
}
function readModel(puzzle, version) {
  const layout = readLayout(member(puzzle, "layout", "puzzle")), { order, symbols, cells, houses, problem } = layout, count = cells.length;
  const tokens = symbols.flatMap(symbol => cells.map(cell => problem ? cell + " = " + symbol : symbol + cell));
  const model = { ...layout, tokens, candidates: numbered(tokens), constraints: [], ids: new Map(), touching: tokens.map(() => []) };
  if (model.candidates.size < tokens.length) malformed("two candidates of one name");
  const add = (id, terms, low, high, kind) => {
    if (model.ids.has(id)) malformed("two constraints are called " + JSON.stringify(id));
    if (low !== null && high !== null && low > high) malformed("bounds that contradict each other");
    const number = model.constraints.push({ id, terms, low, high, kind, one: high === 1 && terms.every(([, a]) => a === 1) }) - 1;
    model.ids.set(id, number);
    for (const [c] of terms) model.touching[c].push(number);
  };
  for (let v = 0; v < count; v++) add("cell " + cells[v], symbols.map((_, d) => [d * count + v, 1]), 1, 1);
  for (const [house, held] of houses) symbols.forEach((symbol, d) => add(symbol + " in " + house, held.map(v => [d * count + v, 1]), 1, 1));
  if (new Set(houses.map(([house]) => house)).size < houses.length) malformed("two houses of one name");
  if (version === 1 && (problem || layout.rules.length)) malformed("version 1 does not say what its rules mean");
  const listed = version === 1 ? [] : puzzle.has("constraints") ? list(puzzle.get("constraints"), 0, 20_000, "constraints")
    : layout.rules.length || problem && !layout.bare ? malformed("what the rules say is not listed") : [];
  for (const rule of listed) {
    const origin = object(member(rule, "origin", "a rule"), "origin"), kind = origin.get("kind"), seen = new Set(), mine = model.constraints.length;
    whole(member(origin, "rule", "origin"), 1, problem ? listed.length : layout.rules.length, "rule");
    const held = names(member(origin, "cells", "origin"), numbered(cells), "cells");
    for (const item of list(member(rule, "linear", "a rule"), 0, 20_000, "linear")) {
      if (object(item, "a constraint").has("already said")) continue;
      const terms = [...object(member(item, "terms", "a constraint"), "terms")].map(([token, a]) =>
        [known(model.candidates, token, "terms"), whole(a, -1e9, 1e9, "a coefficient") || malformed("a coefficient of 0")]);
      const [low, high] = ["at least", "at most"].map(side => item.has(side) ? whole(item.get(side), -2e13, 2e13, side) : null);
      const meaning = JSON.stringify([[...terms].sort((p, q) => p[0] - q[0]), low, high]);
      if (seen.size === seen.add(meaning).size) malformed("a rule says the same twice");
      add(string(member(item, "id", "a constraint"), 300, "id"), terms, low, high, kind);
    }
    if (!problem) saysWhatItShould(model, origin, held, model.constraints.slice(mine));
  }
  return model;
}

// What the kinds of rules mean (section 4); what an earlier rule of the kind says as well may be left out ----------------
function saysWhatItShould(model, origin, held, stated) {
  const { order, cells } = model, count = cells.length, kind = origin.get("kind"), all = upTo(order).map(d => d + 1);
  const wrong = () => malformed("the list of a rule (" + kind + ") does not say what it should");
  const number = name => origin.has(name) ? whole(origin.get(name), 0, 99_999, name) : null, amount = number("amount") ?? 0;
  const earlier = model.constraints.filter(c => c.kind === kind), n = (a, v) => (a - 1) * count + v;
  const sum = (sign, low, high) => {
    const wanted = new Map();
    held.forEach((v, i) => all.forEach(d => wanted.set(n(d, v), (wanted.get(n(d, v)) ?? 0) + sign(i) * d)));
    const size = [...wanted.values()].filter(a => a).length;
    const same = c => c.low === low && c.high === high && c.terms.length === size && c.terms.every(([p, a]) => wanted.get(p) === a);
    if (!earlier.some(same)) wrong();
    stated = stated.filter(c => !same(c));
  };
  if (kind === "total") sum(() => 1, number("least"), number("most"));
  if (kind === "equal sums") sum(i => i < number("split") ? 1 : -1, 0, 0);
  if (kind === "cage" && origin.has("total")) sum(() => 1, number("total"), number("total"));
  if (kind === "total" || kind === "equal sums") return stated.length && wrong();
  // All other kinds say which digits a cell may hold, and which pairs of digits two related cells may.
  const tests = {
    less: (a, b) => a < b, apart: (a, b) => Math.abs(a - b) >= amount, differ: (a, b) => Math.abs(a - b) === amount,
    near: (a, b) => Math.abs(a - b) <= amount, ratio: (a, b) => a === amount * b || b === amount * a, unlike: (a, b) => a !== b,
  };
  const places = cells.map(name => name.slice(1).split("c").map(Number)), how = origin.get("how"), digits = origin.get("digits");
  const relation = (v, w) => {
    const [near, far] = [0, 1].map(axis => Math.abs(places[v][axis] - places[w][axis])).sort((p, q) => p - q);
    if (kind === "cells apart" && how === "beside") return near === 0 && far === 1 ? "apart" : null;
    if (kind === "cells apart") return how === "knight" && near === 1 && far === 2 || how === "king" && far === 1 ? "unlike" : null;
    return kind === "cage" ? "unlike" : kind === "pair" && held.length === 2 ? origin.get("relation") : null;
  };
  if (!["cage", "pair", "cells apart", "restricted cells"].includes(kind) || kind === "pair" && !tests[origin.get("relation")]) wrong();
  const dead = new Set(), clash = new Set(), gone = new Set(), covered = new Set();
  if (kind === "restricted cells") for (const v of held) for (const a of all) if (!list(digits, 0, order, "digits").includes(a)) dead.add(n(a, v));
  held.forEach((v, i) => held.slice(i + 1).forEach(w => {
    const test = tests[relation(v, w)] ?? (() => true);
    for (const a of all) for (const b of all) if (!test(a, b)) clash.add(n(a, v) + " " + n(b, w)).add(n(b, w) + " " + n(a, v));
    for (const a of all) for (const [bad, u] of [[b => !test(a, b), v], [b => !test(b, a), w]]) if (all.every(bad)) dead.add(n(a, u));
  }));
  for (const { terms, low, high } of stated) {
    const exactly = kind === "cage" && held.length === order && low === 1 && terms.length === order;
    if (terms.some(([, a]) => a !== 1) || low !== null && !exactly || high !== 0 && high !== 1) wrong();
    if (high === 0 && terms.some(([p]) => !dead.has(p))) wrong();
    const sound = (p, q) => p % count === q % count || clash.has(p + " " + q) || dead.has(p) || dead.has(q);
    if (high === 1 && terms.some(([p]) => terms.some(([q]) => !sound(p, q)))) wrong();
  }
  const near = c => c.high === 1 && c.one && c.terms.length > 1 && c.terms.some(([p]) => held.includes(p % count));
  for (const c of earlier) if (c.high === 0 && c.terms.every(([, a]) => a === 1)) for (const [p] of c.terms) gone.add(p);
  for (const c of [...model.constraints.filter(c => !c.kind), ...earlier])
    if (near(c)) for (const [p] of c.terms) for (const [q] of c.terms) covered.add(p + " " + q);
  if ([...dead].some(p => !gone.has(p))) wrong();
  for (const key of clash) if (!covered.has(key) && !key.split(" ").some(p => gone.has(Number(p)))) wrong();
}

// Positions (sections 5 and 7) -------------------------------------------------------------------------------------------
function place(model, at, candidate) {
  at.live.add(candidate), at.true.add(candidate);
  const falls = model.touching[candidate].flatMap(number => {
    const { terms, high, one } = model.constraints[number];
    const least = one ? 1 : terms.reduce((sum, [c, a]) => sum + ((a > 0 ? at.true : at.live).has(c) ? a : 0), 0);
    return high === null ? [] : terms.filter(([c, a]) => a > 0 && least + a > high && !at.true.has(c));
  });
  for (const [c] of falls) at.live.delete(c);
}
function start(model, puzzle) {
  const at = { live: new Set(model.tokens.keys()), true: new Set() }, count = model.cells.length;
  const [givens, entered] = [member(puzzle, "givens", "puzzle"), perhaps(puzzle, "entered", [])].map(value => {
    if (typeof value !== "string" || model.problem) return names(value, model.candidates, "placed digits", true);
    const signs = [...string(value, count, "placed digits")].map(sign => sign === "." ? -1 : known(numbered(model.symbols), sign, "digits"));
    return signs.length === count ? signs.flatMap((d, v) => d < 0 ? [] : [d * count + v]) : malformed("not one character a cell");
  });
  if (entered.some(c => givens.includes(c))) malformed("a given is entered again");
  for (const { terms, high } of model.constraints) {
    const least = terms.reduce((sum, [, a]) => sum + Math.min(a, 0), 0);
    if (high !== null && least <= high) for (const [c, a] of terms) if (a > 0 && least + a > high) at.live.delete(c);
  }
  for (const placed of [givens, entered]) {
    for (const c of placed) at.true.add(c);
    for (let size = -1; size !== at.live.size;) { size = at.live.size; for (const c of placed) place(model, at, c); }
  }
  const [eliminated, assumed, kept, presumed] = ["eliminated", "assumed", "kept", "presumed"].map(name => names(puzzle.get(name), model.candidates, name, true));
  if ([...eliminated, ...assumed].some(c => at.true.has(c) && !kept.includes(c))) malformed("a placed candidate is ruled out");
  for (const c of [...eliminated, ...assumed]) at.live.delete(c);
  for (const c of kept) at.live.add(c);
  const resting = list(perhaps(puzzle, "resting", []), 0, assumed.length, "resting").map(one => names(one, model.candidates, "resting", true));
  const heads = new Set(resting.map(([note]) => note));
  if ([...heads].some(note => !assumed.includes(note)) || heads.size < resting.length) malformed("resting on what is no note");
  if ([...presumed, ...resting.flat()].some(c => at.live.has(c) && !at.true.has(c))) malformed("an open candidate is settled");
  return { at, givens: new Set(givens), assumed: new Set(assumed) };
}

// Arguments (sections 6, 8, 9, 10) ---------------------------------------------------------------------------------------
function readInferences(model, value, state) {
  const swap = value => {
    state.unique = ++model.swaps <= 50 || malformed("more than 50 swaps");
    const [pattern, exits] = ["pattern", "exits"].map(part => names(member(value, part, "swap"), model.candidates, part));
    return { pattern, exits, weight: 1 };
  };
  return list(value, 1, 10_000, "inferences").map(item => {
    const [no, yes] = ["false", "true"].map(side => names(object(item, "inference").get(side), model.candidates, side));
    const kinds = [["bases", "covers", "swaps"].some(name => item.has(name)), item.has("suppose"), item.has("swap")];
    if (kinds.filter(Boolean).length !== 1) malformed("not one kind of argument");
    const inner = kinds[1] && readInferences(model, member(item, "inferences", "supposition"), state);
    if (inner) return { no, yes, inner, supposed: known(model.candidates, item.get("suppose"), "suppose") };
    if (kinds[2]) return { no, yes, sides: [[], []], swaps: [swap(item.get("swap"))] };
    const sides = ["bases", "covers"].map(side => list(perhaps(item, side, []), 0, model.constraints.length, side).map(one => {
      const [name, weight] = Array.isArray(one) ? list(one, 2, 2, side) : [one, 1];
      return [known(model.ids, name, side), whole(weight, 1, 2147483647, "weight")];
    }));
    for (const [number] of sides[0]) state.bases.add(number);
    const weighted = one => ({ ...swap(one), weight: whole(perhaps(one, "weight", 1), 1, 2147483647, "weight") });
    return { no, yes, sides, swaps: list(perhaps(item, "swaps", []), 0, 50, "swaps").map(weighted) };
  });
}
const ends = ({ no, yes }) => !no.length && !yes.length;
const follow = (model, at, { no, yes }) => { for (const c of no) at.live.delete(c); for (const c of yes) place(model, at, c); };
function infer(model, state, at, inferences, depth) {
  inferences.forEach((one, i) => {
    const { no, yes, inner } = one;
    for (const c of [...no, ...yes]) if (!at.live.has(c) || at.true.has(c)) refuse(model.tokens[c] + " is settled already");
    if (new Set([...no, ...yes]).size < no.length + yes.length) refuse("a candidate is concluded twice");
    if (inner) {
      if (depth > 32) refuse("suppositions nested more than 32 deep");
      if (yes.length || no.length !== 1 || no[0] !== one.supposed) refuse("a supposition concludes that it is false, and nothing else");
      const below = { live: new Set(at.live), true: new Set(at.true) };
      place(model, below, one.supposed);
      if (!infer(model, state, below, inner, depth + 1)) refuse("no contradiction from " + model.tokens[one.supposed]);
    } else {
      const { weights, slack, least } = addUp(model, at, one);
      for (const swap of one.swaps) verifySwap(model, state, at, swap);
      for (const [c, a] of weights) if (a < 0n && !at.live.has(c)) state.used.add(c);
      if (ends(one) && least <= slack) refuse("no contradiction: the sum may be " + least + " and has room for " + slack);
      for (const c of no) if (!(weights.get(c) > 0n && least + weights.get(c) > slack)) refuse("there is room for " + model.tokens[c]);
      for (const c of yes) if (!(weights.get(c) < 0n && least - weights.get(c) > slack)) refuse("it can do without " + model.tokens[c]);
    }
    if (ends(one) && i < inferences.length - 1) refuse("a contradiction that is not the last inference");
    follow(model, at, one);
  });
  return ends(inferences[inferences.length - 1]);
}
function addUp(model, at, { sides, swaps }) {
  const weights = new Map(), add = (c, a) => weights.set(c, (weights.get(c) ?? 0n) + a);
  let slack = 0n, least = 0n;
  if (!sides[0].length && !sides[1].length && !swaps.length) refuse("nothing to add up");
  sides.forEach((side, i) => {
    if (new Set(side.map(([number]) => number)).size < side.length) refuse("a constraint is listed twice");
    for (const [number, weight] of side) {
      const { id, terms, low, high } = model.constraints[number], w = BigInt(i ? weight : -weight);
      slack += w * BigInt((i ? high : low) ?? refuse(id + " has no bound on that side"));
      for (const [c, a] of terms) add(c, w * BigInt(a));
    }
  });
  for (const { exits, weight } of swaps) { slack -= BigInt(weight); for (const c of exits) add(c, -BigInt(weight)); }
  for (const [c, a] of weights) if ((a > 0n ? at.true : at.live).has(c)) least += a;
  return { weights, slack, least };
}
function verifySwap(model, state, at, { pattern, exits }) {
  const named = new Set([...pattern, ...exits]), order = [...pattern].sort((p, q) => model.touching[p][0] - model.touching[q][0] || p - q);
  if (named.size < pattern.length + exits.length) refuse("a swap names a candidate twice");
  if (pattern.length > 64 || pattern.some(c => state.givens.has(c))) refuse("a swap over a given, or over more than 64 candidates");
  const rows = [...new Set(pattern.flatMap(c => model.touching[c]))].map(number => {
    let { terms, low, high } = model.constraints[number];
    for (const [c, a] of terms) if (!named.has(c) && at.live.has(c)) {
      if (low !== null) low -= at.true.has(c) ? a : Math.max(a, 0);
      if (high !== null) high -= at.true.has(c) ? a : Math.min(a, 0);
    }
    return { row: order.map(c => new Map(terms).get(c) ?? 0), low: low ?? -Infinity, high: high ?? Infinity };
  });
  // What the candidates from each place on can still add to each row, at least and at most.
  const rest = rows.map(({ row }) => [Math.min, Math.max].map(pick => row.reduceRight((sums, a) => [sums[0] + pick(a, 0), ...sums], [0])));
  let trials = 0;
  const search = (bounds, options, found, chosen = [], sums = rows.map(() => 0)) => {
    if (++trials > MOST_TRIALS) refuse("a swap that is too large to try");
    const i = chosen.length;
    if (sums.some((sum, k) => sum + rest[k][0][i] > bounds[k].high || sum + rest[k][1][i] < bounds[k].low)) return false;
    if (i === order.length) return found(chosen, sums);
    return options[i].some(value => search(bounds, options, found, [...chosen, value], sums.map((sum, k) => sum + value * rows[k].row[i])));
  };
  const any = order.map(() => [0, 1]), possible = order.map(c => at.true.has(c) ? [1] : at.live.has(c) ? [0, 1] : [0]);
  const alone = (one, sums) => !search(sums.map(sum => ({ low: sum, high: sum })), any, other => other.some((value, i) => value !== one[i]));
  if (search(rows, possible, alone)) refuse("a filling without an exit that no other can be exchanged for");
}

// Documents and steps; of patterns only their form (sections 1, 6, 11) -----------------------------------------------------
function readPattern(model, value) {
  const parts = (name, read) => list(perhaps(object(value, "pattern"), name, []), 0, 1000, name).forEach(read);
  const tables = { cells: numbered(model.cells), candidates: model.candidates, constraints: model.ids,
    houses: numbered(model.houses.map(([name]) => name)), digits: numbered(model.symbols) };
  string(member(value, "name", "pattern"), 200, "the name of a pattern");
  parts("roles", role => {
    const [kind, more] = Object.keys(tables).filter(kind => object(role, "role").has(kind));
    string(member(role, "role", "role"), 200, "role");
    if (!kind || more) malformed("a role of no kind or of several");
    names(role.get(kind), tables[kind], kind);
  });
  parts("also", name => string(name, 200, "also"));
  parts("inner", inner => readPattern(model, inner));
  if (!value.has("chain")) return;
  const chain = value.get("chain"), nodes = list(member(chain, "nodes", "chain"), 1, 1000, "nodes");
  for (const node of nodes) names(Array.isArray(node) ? node : [node], model.candidates, "node").length || malformed("an empty node");
  const links = nodes.length - (truth(perhaps(chain, "loop", false), "loop") ? 0 : 1);
  for (const link of list(member(chain, "links", "chain"), links, links, "links")) {
    if (object(link, "link").has("strong") === link.has("weak")) malformed("a link that is both or neither");
    for (const name of ["strong", "weak", "covers"]) names(link.get(name), model.ids, name);
  }
}
function readStep(model, step) {
  const state = { bases: new Set(), used: new Set(), unique: false };
  const inferences = readInferences(model, member(step, "argument", "step"), state);
  readPattern(model, member(step, "pattern", "step"));
  for (const [name, side] of [["places", "yes"], ["eliminates", "no"]]) {
    const told = new Set(names(step.get(name), model.candidates, name, true)), meant = new Set(inferences.flatMap(one => one[side]));
    if (told.size !== meant.size || [...told].some(c => !meant.has(c))) malformed(name + " tells something else than the argument");
  }
  const flag = name => truth(perhaps(step, name, false), name), [unique] = ["assumes unique", "proved smallest"].map(flag);
  if (flag("contradiction") !== inferences.some(ends)) malformed("contradiction tells something else than the argument");
  if (state.unique && !unique) malformed("a swap assumes a unique solution, and the step does not say so");
  if (step.has("premises") && names(step.get("premises"), model.ids, "premises").join() !== [...state.bases].join()) malformed("other premises than the bases");
  return { ...state, inferences, unique, notes: names(step.get("rests on notes"), model.candidates, "rests on notes", true) };
}
function run(root, steps) {
  if (member(root, "format", "the document") !== "deduce-proof") malformed("the format is another one");
  const version = /^([12])\.[0-9]+$/.exec(string(member(root, "version", "the document"), 20, "version")) ?? malformed("a version that is not known here");
  const puzzle = object(member(root, "puzzle", "the document"), "puzzle"), model = { ...readModel(puzzle, Number(version[1])), swaps: 0 };
  const { at, givens, assumed } = start(model, puzzle);
  string(perhaps(root, "outcome", ""), 100, "outcome");
  let problem = "";
  list(member(root, "steps", "the document"), 0, 50_000, "steps").forEach((value, i) => {
    const step = readStep(model, value), there = { live: new Set(at.live), true: new Set(at.true) };
    const said = { number: i + 1, verdict: problem ? "conditional" : "verified", problem: "", assumesUnique: step.unique, notes: step.notes.map(c => model.tokens[c]) };
    try { infer(model, { ...step, givens }, there, step.inferences, 1); } catch (error) {
      if (!(error instanceof Refused)) throw error;
      Object.assign(said, { verdict: "refused", problem: error.message });
      problem ||= "step " + (i + 1) + ": " + error.message;
    }
    const own = [...step.used].filter(c => assumed.has(c) && !at.live.has(c) && !at.true.has(c));
    if (value.has("rests on notes") && (step.notes.some(c => !assumed.has(c)) || own.some(c => !step.notes.includes(c)))) malformed("a step hides its notes");
    for (const one of step.inferences) follow(model, at, one);
    steps.push(said);
  });
  return steps.length ? problem : "there is no step, so nothing is proved";
}

/** Check a document: whether every step is verified, what became of each, and what is wrong first. */
export function check(document) {
  const steps = [];
  try {
    const problem = run(parse(typeof document === "string" ? document : JSON.stringify(document) ?? ""), steps);
    return { verified: !problem, steps, problem };
  } catch (error) {
    if (!(error instanceof Malformed) && !(error instanceof RangeError)) throw error;
    return { verified: false, steps: [], problem: error.message };
  }
}
