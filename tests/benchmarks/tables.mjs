// What rows of benchmarks come to, as tables: a list of lists of cells, the first the head.

export const BINS = 10;

export function emptyBins() {
  return Array.from({ length: BINS }, () => [0, 0, 0]);
}

/** Cells under each other. */
export function inColumns(lines) {
  const widths = lines[0].map((_, k) => Math.max(...lines.map((line) => line[k].length)));
  return lines.map((line) => line.map((cell, k) => cell.padEnd(widths[k])).join('  ')).join('\n');
}

/** Means over the jobs of each board and rule, in the order they come. */
export function drillTable(rows) {
  const head = [
    'board',
    'rule',
    'jobs',
    'clear',
    'all found',
    'minutes',
    'survey',
    'proof',
    'knowing',
    'readings',
    'lifts',
    'pulls',
    'healthy pulled',
    '…outside banks',
    'slowest step ms',
  ];
  const groups = new Map();
  for (const row of rows) {
    const key = `${row.board}/${row.rule}`;
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  const lines = [...groups.values()].map((group) => {
    const mean = (of) => (group.reduce((sum, row) => sum + of(row), 0) / group.length).toFixed(1);
    return [
      group[0].board,
      group[0].rule,
      String(group.length),
      String(group.filter((row) => row.clear).length),
      `${((100 * group.filter((row) => row.missed === 0).length) / group.length).toFixed(1)} %`,
      mean((row) => row.minutes),
      mean((row) => row.survey ?? 0),
      mean((row) => row.prove ?? 0),
      group[0].knowing === undefined ? '–' : mean((row) => row.knowing),
      mean((row) => row.readings),
      mean((row) => row.lifts),
      mean((row) => row.pulls),
      mean((row) => row.healthyPulled),
      mean((row) => row.healthyOutsideBanks),
      Math.max(...group.map((row) => row.slowestMs)).toFixed(0),
    ];
  });
  return [head, ...lines];
}

/**
 * Minutes of the tool over those of the simple rule that takes fewest, by board: in whole, and beside the
 * readings of survey and proof. First of the rules that share the tool's survey, then of those with a plain list.
 */
export function ratioTable(rows) {
  const mean = (some, of) => some.reduce((sum, row) => sum + of(row), 0) / some.length;
  const whole = (row) => row.minutes;
  const chosen = (row) => row.minutes - row.survey - row.prove;
  const lines = [...new Set(rows.map(({ board }) => board))].map((board) => {
    const by = byRule(rows.filter((row) => row.board === board));
    const own = by.get('tool') ?? [];
    const cells = [false, true].flatMap((listed) => {
      const others = [...by]
        .filter(([rule]) => !['tool', 'copper'].includes(rule))
        .filter(([rule]) => rule.startsWith('listed ') === listed)
        .map(([, some]) => some);
      return [whole, chosen].map((of) => {
        if (own.length === 0 || others.length === 0) return '–';
        return (mean(own, of) / Math.min(...others.map((some) => mean(some, of)))).toFixed(2);
      });
    });
    return [board, ...cells];
  });
  const head = ['tool over the best simple rule', 'whole', 'beside readings', 'listed', '…beside'];
  return [head, ...lines];
}

function byRule(rows) {
  const groups = new Map();
  for (const row of rows) groups.set(row.rule, [...(groups.get(row.rule) ?? []), row]);
  return groups;
}

/** Weights said and what came true, by bins of the weight, and how far apart the two are. */
export function calibrationBins(rows, series) {
  const bins = emptyBins().map((zero, k) =>
    zero.map((_, n) => rows.reduce((sum, row) => sum + row[series][k][n], 0)),
  );
  const count = bins.reduce((sum, [n]) => sum + n, 0);
  const error = bins.reduce((sum, [, said, so]) => sum + Math.abs(said - so), 0) / count;
  return { bins, count, error };
}

export function binTable(bins) {
  const lines = bins.flatMap(([n, said, so], k) => {
    const range = `${(k / BINS).toFixed(1)}–${((k + 1) / BINS).toFixed(1)}`;
    return n === 0 ? [] : [[range, (said / n).toFixed(3), (so / n).toFixed(3), String(n)]];
  });
  return [['weight', 'said', 'were so', 'count'], ...lines];
}
