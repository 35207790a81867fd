import type { Checked } from './checked.ts';
import { entriesOf, fieldOf, numberOf, textOf } from './checked.ts';
import * as complaints from './complaints.ts';
import type { Findings } from './findings.ts';
import type { BoardCopper, NetCopper } from './model.ts';

/** Foil of a quarter ounce is the thinnest sold; beyond 20 oz it is a bus bar. */
const OUNCES: readonly [number, number] = [0.25, 20];
/** Finest track of an outer layer, and wider than any board, mm. */
const WIDTH: readonly [number, number] = [0.05, 1000];

/**
 * What a board file says of its copper; undefined when it says nothing.
 * @param netNumber  the number of a listed net; reports one that no part is on
 */
export function readCopper(
  piece: Checked | undefined,
  netNumber: (name: Checked) => number | undefined,
  findings: Findings,
): BoardCopper | undefined {
  if (piece === undefined) return undefined;
  const ounces = within(fieldOf(piece, 'weight'), OUNCES, findings);
  const nets = new Map<number, NetCopper>();
  for (const [name, { key, value }] of entriesOf(fieldOf(piece, 'nets'))) {
    const net = netNumber({ ...key, value: name });
    if (net !== undefined && value !== undefined) nets.set(net, readNet(value, findings));
  }
  return { ...(ounces === undefined ? {} : { ounces }), nets };
}

/** One word for the shape, or a map with more in it. */
function readNet(piece: Checked, findings: Findings): NetCopper {
  const word = textOf(piece) ?? textOf(fieldOf(piece, 'shape'));
  const width = within(fieldOf(piece, 'width'), WIDTH, findings);
  const ounces = within(fieldOf(piece, 'weight'), OUNCES, findings);
  return {
    ...(word === 'plane' || word === 'traces' ? { shape: word } : {}),
    ...(width === undefined ? {} : { width }),
    ...(ounces === undefined ? {} : { ounces }),
  };
}

function within(
  piece: Checked | undefined,
  [least, most]: readonly [number, number],
  findings: Findings,
): number | undefined {
  const value = numberOf(piece);
  if (piece === undefined || value === undefined) return undefined;
  if (value >= least && value <= most) return value;
  const unit = most === WIDTH[1] ? 'mm' : 'oz';
  findings.error(piece, complaints.copperOutOfRange(value, unit, least, most));
  return undefined;
}
