import type { Board, Kind, Net, Part, Pin, Rail } from '../../src/board/model.ts';

/** What a test says about a part: its kind, and net by pin name. */
interface PartText {
  readonly kind: Kind;
  readonly pins: Readonly<Record<string, string>>;
}

function kind(
  name: string,
  pins: readonly string[],
  joins: readonly (readonly [string, string])[] = [],
): Kind {
  const aliases: readonly [string, string][] =
    name === 'n-mosfet'
      ? [
          ['drain', 'D'],
          ['2', 'D'],
        ]
      : [];
  return {
    name,
    title: name,
    pins,
    pinAliases: new Map(aliases),
    symmetric: pins[0] === '1',
    healthy: [],
    modes: joins.map((pair) => ({
      name: `${pair.join('-')} short`,
      share: 0.1,
      opens: false,
      joins: [pair],
      ohms: [0.01, 3] as const,
      source: 'default',
    })),
    fitRate: 10,
    value: 'none',
    link: name === 'jumper',
    source: 'default',
  };
}

const MOSFET = kind(
  'n-mosfet',
  ['G', 'D', 'S'],
  [
    ['D', 'S'],
    ['G', 'S'],
    ['G', 'D'],
  ],
);
const JUMPER = kind('jumper', ['1', '2']);
const CERAMIC = kind('ceramic', ['1', '2'], [['1', '2']]);
const DIODE = kind('diode', ['A', 'K'], [['A', 'K']]);
const TEST_POINT = kind('test-point', ['1']);
const IC = kind('ic', [], [['@supply', '@ground']]);

/**
 *  P48 ──W3── P48_FAN ──C7── GND
 *   ├──Q1, Q3 (D)   S ── GND ── U1.8
 *   └──D3 (K)       A ── OUT
 */
const PARTS: Readonly<Record<string, PartText>> = {
  Q1: { kind: MOSFET, pins: { G: 'HG', D: 'P48', S: 'GND' } },
  Q3: { kind: MOSFET, pins: { G: 'HG', D: 'P48', S: 'GND' } },
  W3: { kind: JUMPER, pins: { '1': 'P48', '2': 'P48_FAN' } },
  C7: { kind: CERAMIC, pins: { '1': 'P48_FAN', '2': 'GND' } },
  D3: { kind: DIODE, pins: { A: 'OUT', K: 'P48' } },
  U1: { kind: IC, pins: { '1': 'OUT', '4': 'GND', '5.a': 'Net-(U1-5)', '8': '/~{RST}#' } },
  TP1: { kind: TEST_POINT, pins: { '1': 'P48' } },
  d9: { kind: DIODE, pins: { A: 'out', K: 'Ωµ:;"net' } },
};

/** A small board, the same each time, with some awkward names. */
export function tinyBoard(digest: string = 'd'.repeat(64)): Board {
  const nets: { name: string; pins: number[] }[] = [];
  const pins: Pin[] = [];
  const netNumber = (name: string): number => {
    const at = nets.findIndex((net) => net.name === name);
    return at >= 0 ? at : nets.push({ name, pins: [] }) - 1;
  };
  const parts = Object.entries(PARTS).map(([name, text], index): Part => {
    const own = Object.entries(text.pins).map(([pin, netName]) => {
      const net = netNumber(netName);
      const number = pins.push({ index: pins.length, part: index, name: pin, net }) - 1;
      nets[net]?.pins.push(number);
      return number;
    });
    return {
      index,
      name,
      kind: text.kind,
      pins: own,
      windings: [],
      failsFirst: false,
      guesses: [],
      line: index,
    };
  });
  const whole = nets.map((net, index): Net => {
    const points = net.name === 'GND' ? ['TP4', 'J1.2'] : [];
    return { index, name: net.name, pins: net.pins, points, line: index };
  });
  const rails: Rail[] = [
    { name: 'bus', plus: netNumber('P48'), minus: netNumber('GND'), volts: 48 },
    { name: 'fan', plus: netNumber('P48_FAN'), minus: netNumber('GND'), volts: 48 },
  ];
  return {
    name: 'Tiny hoist',
    revision: '3',
    parts,
    pins,
    nets: whole,
    rails,
    partNamed: new Map(parts.map((part) => [part.name, part])),
    netNamed: new Map(whole.map((net) => [net.name, net])),
    file: 'tiny.yaml',
    digest,
  };
}
