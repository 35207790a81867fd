// Writes what a meter sees between two points of a board as a deck for a circuit simulator. It reads
// the elements of a view and the branches of faults, and shares nothing with the solver under test.

/** k·T/q at 300.15 K, V: the simulator's default temperature. */
const THERMAL_VOLTS = (1.380649e-23 * 300.15) / 1.602176634e-19;

/** What gives up the current when nothing on the board takes it; above every meter's ceiling, V. */
const CLAMP_VOLTS = 5;

/**
 * @param sight `{ view, added, red, black }`
 * @param title first line of the deck
 * @param exact true to hold every junction to the exponential below −3·n·V_T too, where the
 *   simulator's diode takes a cubic; dear, and seldom seen: at most 5 % of a reversed junction's IS
 * @returns `{ lines, at, lit }`: the deck less its options and `.end`, with the source `imeter` at 1 mA into red
 *   and black as node 0; the node of red; whether a junction is in it. Undefined when no element
 *   leads from red to black
 */
export function deckOf(sight, title, exact = false) {
  const node = mergedNodes(sight);
  const elements = [...resistancesOf(sight), ...junctionsOf(sight)].filter(
    ({ from, to }) => node(from) !== node(to),
  );
  const reached = reachedNodes(elements, node, node(sight.red));
  if (!reached.has(node(sight.black))) return undefined;
  const name = (net) => (node(net) === node(sight.black) ? '0' : `n${node(net)}`);
  const models = new Map();
  const lines = elements
    .filter(({ from }) => reached.has(node(from)))
    .flatMap((element, k) => elementLines(element, k, name, models, exact));
  const modelLines = [...models.values()].map(({ line }) => line);
  const meter = meterLines(name(sight.red));
  return {
    lines: [`* ${title}`, ...lines, ...meter, ...modelLines],
    at: name(sight.red),
    lit: models.size > 0,
  };
}

function resistancesOf({ view, added }) {
  return [...view.network.branches, ...added].map(({ a, b, ohms }) => ({ from: a, to: b, ohms }));
}

function junctionsOf({ view }) {
  return view.junctions.map(({ netA, netK, volts, slope }) => ({
    from: netA,
    to: netK,
    volts,
    slope,
  }));
}

/** Nets that a branch of no resistance joins are one node. */
function mergedNodes({ added }) {
  const into = new Map();
  const node = (net) => {
    let at = net;
    while (into.has(at)) at = into.get(at);
    return at;
  };
  for (const { a, b, ohms } of added) {
    if (ohms === 0 && node(a) !== node(b)) into.set(node(a), node(b));
  }
  return node;
}

/** Nodes that elements lead to from `start`; what is left out would float. */
function reachedNodes(elements, node, start) {
  const beside = new Map();
  const put = (from, to) => beside.set(from, [...(beside.get(from) ?? []), to]);
  for (const { from, to } of elements) {
    put(node(from), node(to));
    put(node(to), node(from));
  }
  const reached = new Set([start]);
  for (const at of reached) for (const next of beside.get(at) ?? []) reached.add(next);
  return reached;
}

function elementLines({ from, to, ohms, volts, slope }, k, name, models, exact) {
  const ends = `${name(from)} ${name(to)}`;
  if (ohms !== undefined) return [`R${k} ${ends} ${ohms}`];
  const scale = slope * THERMAL_VOLTS;
  const saturation = 1e-3 / Math.expm1(volts / scale);
  if (!(saturation > 0)) throw new RangeError(`a junction of ${volts} V and slope ${slope}`);
  const key = `${saturation} ${slope}`;
  const model = models.get(key)?.model ?? `m${models.size}`;
  models.set(key, { model, line: `.model ${model} D(IS=${saturation} N=${slope})` });
  const diode = `D${k} ${ends} ${model}`;
  if (!exact) return [diode];
  // The law less the cubic: nothing at −3·n·V_T and above.
  const y = `min(v(${name(from)},${name(to)}),${-3 * scale})`;
  const cubic = `${(-3 * scale) / Math.E}/${y}`;
  const rest = `${saturation}*(exp(${y}/${scale})-(${cubic})*(${cubic})*(${cubic}))`;
  return [diode, `B${k} ${ends} I=${rest}`];
}

function meterLines(red) {
  return [
    `Imeter 0 ${red} DC 1e-3`,
    `Dclamp ${red} clamp mclamp`,
    `Vclamp clamp 0 ${CLAMP_VOLTS}`,
    '.model mclamp D(IS=1e-16 N=1)',
  ];
}
