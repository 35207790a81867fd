// What rows of the copper benchmark come to, as tables: a list of lists of cells, the first the head.

export function groupsOf(rows, keyOf) {
  const groups = new Map();
  for (const row of rows) {
    const key = keyOf(row);
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  return [...groups.values()];
}

const percent = (share) => `${(100 * share).toFixed(1)} %`;
const mean = (rows, of) => rows.reduce((sum, row) => sum + of(row), 0) / rows.length;
const total = (weights, count) => weights.slice(0, count).reduce((a, b) => a + b, 0);

/** Weights said of the first and of the first three, and how often they were right, for one count. */
export function placesAt(rows, after) {
  const said = rows.map((row) => row.said.find((one) => one.after === after));
  const within = (most) => mean(said, ({ places }) => (Math.min(...places) <= most ? 1 : 0));
  const found = (most) =>
    mean(said, ({ places }) => places.filter((place) => place <= most).length);
  return {
    first: within(1),
    three: within(3),
    five: within(5),
    truesInThree: found(3),
    saidFirst: mean(said, ({ weights }) => total(weights, 1)),
    saidThree: mean(said, ({ weights }) => total(weights, 3)),
    stopped: mean(said, (one) => (one.stopped ? 1 : 0)),
  };
}

/** One line for each scenario, size, chooser of readings and count. */
export function placeTable(rows, counts) {
  const head = [
    'scenario',
    'parts',
    'pads by',
    'trials',
    'readings',
    'first',
    'said',
    'top three',
    'said',
    'top five',
    'wants no more',
  ];
  const lines = groupsOf(
    rows,
    ({ scenario, size, chooser }) => `${scenario}/${size}/${chooser}`,
  ).flatMap((group) => {
    const [{ scenario, size, chooser, shorts }] = group;
    return counts.map((after) => {
      const at = placesAt(group, after);
      // Of two shorts the weights of three suspects say how many of them are bad.
      const three = shorts > 1 ? at.truesInThree.toFixed(2) : percent(at.three);
      const saidThree = shorts > 1 ? at.saidThree.toFixed(2) : percent(at.saidThree);
      return [
        scenario,
        String(size),
        chooser,
        String(group.length),
        String(after),
        percent(at.first),
        percent(at.saidFirst),
        three,
        saidThree,
        percent(at.five),
        percent(at.stopped),
      ];
    });
  });
  return [head, ...lines];
}

/** Claims of single suspects, any of the first five, against what was so: `[count, said, so]` by tenths. */
export function claimBins(rows, counts) {
  const bins = Array.from({ length: 10 }, () => [0, 0, 0]);
  for (const { said } of rows) {
    for (const { after, places, weights } of said) {
      if (!counts.includes(after)) continue;
      weights.slice(0, 5).forEach((weight, k) => {
        const bin = bins[Math.min(9, Math.floor(10 * weight))];
        bin[0] += 1;
        bin[1] += weight;
        bin[2] += places.includes(k + 1) ? 1 : 0;
      });
    }
  }
  return bins;
}

/** Whole jobs: one line for each scenario, size and rule. */
export function copperJobTable(rows) {
  const head = [
    'scenario',
    'parts',
    'rule',
    'jobs',
    'clear',
    'all found',
    'minutes',
    'knowing',
    'readings',
    'of copper',
    'lifts',
    'parts off',
    'healthy ones',
    'slowest step ms',
  ];
  const lines = groupsOf(rows, ({ scenario, size, rule }) => `${scenario}/${size}/${rule}`).map(
    (group) => {
      const [{ scenario, size, rule }] = group;
      const figure = (of) => mean(group, of).toFixed(1);
      return [
        scenario,
        String(size),
        rule,
        String(group.length),
        String(group.filter(({ clear }) => clear).length),
        percent(mean(group, ({ missed }) => (missed === 0 ? 1 : 0))),
        figure((row) => row.minutes),
        figure((row) => row.knowing),
        figure((row) => row.readings),
        figure((row) => row.copper),
        figure((row) => row.lifts),
        figure((row) => row.pulls),
        figure((row) => row.healthyPulled),
        Math.max(...group.map((row) => row.slowestMs)).toFixed(0),
      ];
    },
  );
  return [head, ...lines];
}

/** Minutes of the tool over those of the best rule without copper, by scenario and size. */
export function minuteShares(rows) {
  return groupsOf(rows, ({ scenario, size }) => `${scenario}/${size}`).flatMap((group) => {
    const byRule = new Map(groupsOf(group, ({ rule }) => rule).map((own) => [own[0].rule, own]));
    const tool = byRule.get('tool');
    byRule.delete('tool');
    if (tool === undefined || byRule.size === 0) return [];
    const seeds = new Set(tool.map(({ seed }) => seed));
    const minutes = (own) =>
      mean(
        own.filter(({ seed }) => seeds.has(seed)),
        (row) => row.minutes,
      );
    const [best] = [...byRule].sort(([, p], [, q]) => minutes(p) - minutes(q));
    const { scenario, size } = tool[0];
    return [{ scenario, size, best: best[0], share: minutes(tool) / minutes(best[1]) }];
  });
}
