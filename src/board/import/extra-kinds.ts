/**
 * Kinds an import needs that the catalogue does not hold: parts that are two or more catalogue
 * parts in one body. Written into the board file, in the catalogue's own form. Shares and rates
 * follow the single part; they are defaults. Pairs of diodes may be silicon or Schottky: their
 * junctions lie between the two.
 */
export const EXTRA_KINDS: Readonly<Record<string, string>> = {
  'diode-pair-common-cathode': pair(
    'two diodes, common cathode',
    ['A1', 'A2', 'K'],
    [
      ['A1', 'K'],
      ['A2', 'K'],
    ],
  ),
  'diode-pair-common-anode': pair(
    'two diodes, common anode',
    ['K1', 'K2', 'A'],
    [
      ['A', 'K1'],
      ['A', 'K2'],
    ],
  ),
  'diode-pair-in-series': pair(
    'two diodes in series',
    ['A', 'K', 'MID'],
    [
      ['A', 'MID'],
      ['MID', 'K'],
    ],
  ),
  'four-terminal-shunt': `title: four-terminal shunt
pins: [1, 2, 3, 4]
value: ohms
resistances:
  - {between: [1, 4], ohms: value}
  - {between: [1, 2], ohms: 0.0002}
  - {between: [3, 4], ohms: 0.0002}
modes:
  open: {share: 0.6, opens: true, source: default}
  high: {share: 0.4, scales: [1.1, 10], source: default}
fit-rate: 3
source: default (as a resistor)`,
  'n-mosfet-with-sense-lead': `title: n-channel MOSFET with a second source lead
pins: [G, D, S, SS]
resistances: [{between: [S, SS], ohms: 0.002}]
junctions: [{from: S, to: D, volts: 0.5, slope: 1.2}]
modes:
  D-S short: {share: 0.35, joins: [[D, S]], source: default}
  all three short: {share: 0.2, joins: [[D, S], [G, S], [G, D]], source: default}
  G-S short: {share: 0.1, joins: [[G, S]], source: default}
  G-D short: {share: 0.04, joins: [[G, D]], source: default}
  insulator punctured: {share: 0.02, to-heatsink: D, ohms: [0.05, 100], source: default}
  open: {share: 0.05, opens: true, source: default}
fit-rate: 99
source: default (as an n-mosfet)`,
};

function pair(
  title: string,
  pins: readonly string[],
  junctions: readonly (readonly [string, string])[],
): string {
  const list = junctions.map(
    ([from, to]) => `  - {from: ${from}, to: ${to}, volts: 0.4, slope: 1.3}`,
  );
  const shorts = junctions.map(
    ([from, to]) =>
      `  ${from}-${to} short: {share: 0.25, joins: [[${from}, ${to}]], source: default}`,
  );
  return [
    `title: ${title}`,
    `pins: [${pins.join(', ')}]`,
    'junctions:',
    ...list,
    'modes:',
    ...shorts,
    '  open: {share: 0.3, opens: true, source: default}',
    'fit-rate: 50',
    'source: default (as two small diodes)',
  ].join('\n');
}
