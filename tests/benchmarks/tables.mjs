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
    'left to choose',
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
      group[0].knowing === undefined ? '–' : mean(COMPARED['…and survey']),
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

/** What may be compared: all minutes, what someone who knows the faults does without, and that beside the survey. */
const COMPARED = {
  whole: (row) => row.minutes,
  'beyond knowing': (row) => row.minutes - row.knowing,
  '…and survey': (row) => row.minutes - row.knowing - row.survey,
};

/**
 * Minutes of the tool over those of each simple rule, by board, over the jobs that both have played; then of the
 * rule that takes fewest minutes; last the mean of these over the boards. What is beyond knowing and survey is
 * what a board leaves to choose where rules share the tool's survey.
 */
export function ratioTable(rows) {
  const measures = Object.values(COMPARED);
  const boards = [...new Set(rows.map(({ board }) => board))];
  const best = [];
  const lines = boards.flatMap((board) => {
    const by = byRule(rows.filter((row) => row.board === board));
    const own = by.get('tool') ?? [];
    const others = [...by].filter(([rule]) => !['tool', 'copper'].includes(rule));
    const ratios = others.flatMap(([rule, some]) => {
      const both = own.flatMap((row) => some.filter(({ seed }) => seed === row.seed).slice(0, 1));
      if (both.length === 0) return [];
      const played = own.filter(({ seed }) => both.some((row) => row.seed === seed));
      const sum = (jobs, of) => jobs.reduce((total, row) => total + of(row), 0);
      const ratio = measures.map((of) => sum(played, of) / sum(both, of));
      return [{ rule, jobs: both.length, minutes: sum(both, COMPARED.whole) / both.length, ratio }];
    });
    const least = [...ratios].sort((x, y) => x.minutes - y.minutes)[0];
    if (least !== undefined) best.push(least.ratio);
    const marked = ratios.map((one) => ({ ...one, mark: one === least ? 'best' : '' }));
    return marked.map(({ rule, jobs, ratio, mark }) => [
      board,
      rule,
      String(jobs),
      ...ratio.map(twoDigits),
      mark,
    ]);
  });
  const means = measures.map(
    (_, k) => best.reduce((sum, ratio) => sum + ratio[k], 0) / best.length,
  );
  const mean = ['all boards', 'the best', '', ...means.map(twoDigits), ''];
  const head = ['tool over', 'rule', 'jobs', ...Object.keys(COMPARED), ''];
  return [head, ...lines, ...(best.length > 0 ? [mean] : [])];
}

function twoDigits(ratio) {
  return Number.isFinite(ratio) ? ratio.toFixed(2) : '–';
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
