import type { Part } from '../board/model.ts';

const TALL_CAN = /(?:radial|CP|ELEC|can)\D*(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)/i;
const CAN_BY_DIAMETER = /radial_D(\d+(?:\.\d+)?)/i;
const BOX = /(?:box|film|rect)\D*(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)/i;
const RING = /toroid\D*(\d+(?:\.\d+)?)/i;
const SQUARE_COIL = /(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)/i;
/** Imperial chip sizes read like numbers, and nothing of that size weighs. */
const TINY = /choke|(^|[^0-9])(0201|0402|0603|0805|1206|1210)([^0-9]|$)|SO[TDICP]|QF[NP]|DFN|BGA/i;

/** g, of bodies one can name; from makers' sheets, rounded. */
const NAMED: readonly (readonly [RegExp, number])[] = [
  [/TO-?264|TO-?3P/i, 9],
  [/TO-?247/i, 6],
  [/TO-?220/i, 2],
  [/KB[UPL]|GBU/i, 6],
  [/E(TD|E|FD|RL?)\s?-?(\d\d)/i, 45],
  [/stud/i, 20],
  [/XT60|screw|terminal|MKDS|TERM_/i, 8],
];
const BY_KIND: Readonly<Record<string, number>> = { transformer: 25, relay: 12, inductor: 2 };

/** g/mm³ of a can or a moulded body, and of a wound part. */
const BODY = 1.4e-3;
const WOUND = 3.5e-3;

/** What a part weighs, g, as far as its package tells: a guess good enough to rank by. */
export function partGrams({ kind, package: shape = '' }: Part): number {
  if (TINY.test(shape)) return 0;
  const [, diameter, height] = TALL_CAN.exec(shape) ?? [];
  if (diameter !== undefined) return cylinder(Number(diameter), Number(height));
  const [, across] = CAN_BY_DIAMETER.exec(shape) ?? [];
  if (across !== undefined) return cylinder(Number(across), 1.6 * Number(across));
  const [, ring] = RING.exec(shape) ?? [];
  if (ring !== undefined) return cylinder(Number(ring), 0.4 * Number(ring)) * (WOUND / BODY);
  const [, long, wide] = BOX.exec(shape) ?? [];
  if (long !== undefined) return Number(long) * Number(wide) ** 2 * 1.6 * BODY;
  const [, a, b] = kind.name === 'inductor' ? (SQUARE_COIL.exec(shape) ?? []) : [];
  if (a !== undefined) return Number(a) * Number(b) * Math.min(Number(a), Number(b)) * 0.5 * WOUND;
  return NAMED.find(([pattern]) => pattern.test(shape))?.[1] ?? BY_KIND[kind.name] ?? 0;
}

function cylinder(diameter: number, height: number): number {
  return (Math.PI / 4) * diameter ** 2 * height * BODY;
}
