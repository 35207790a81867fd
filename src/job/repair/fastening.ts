/** How a part is fastened to its heatsink: insulator, torque, the reading that proves it apart. */
import type { Board, Part } from '../../board/model.ts';
import type { Isolation } from '../bench-log.ts';

/** Whether something has to lie between a tab and its heatsink. */
export type Insulator =
  /** The tab and the heatsink, or another tab on it, are on different nets. */
  | 'needed'
  /** The body insulates by itself. */
  | 'in the body'
  /** Tab and heatsink are on one net. */
  | 'same net'
  /** The board file does not tell: as it was found. */
  | 'as found';

export interface Fastening {
  readonly heatsink: string;
  readonly insulator: Insulator;
  /** What it is, when the board file says: `pad`, `mica`. */
  readonly between?: 'pad' | 'mica';
  /** Pin whose metal is the tab. */
  readonly tabPin?: number;
  /** N·m for a screw; none where no figure is known, and with a clip. */
  readonly torque?: Torque;
}

/** Screw torque, N·m. */
export interface Torque {
  /** Package, or part, that it holds for. */
  readonly of: string;
  readonly screw?: string;
  readonly from: number;
  readonly to: number;
  /** Never more: plastic cracks, the die comes off a warped tab, insulation is lost. */
  readonly most?: number;
  readonly source: string;
}

const INSULATED_BODY =
  /TO-?220-?F|TO-?220-?(FP|FM|Full)|full ?-?pa[ck]k|isolated|insulated|ISO-?(220|247)/i;

/**
 * By package, the first that fits; the part's own data sheet comes first. Limits: Infineon's
 * mounting notes for TO-220, onsemi's for insulated TO-220 (6 to 8 in·lb, never over 10).
 */
const TORQUES: readonly { readonly body: RegExp; readonly torque: Torque }[] = [
  {
    body: /TO-?220-?(F|Full)|(isolated|insulated) TO-?220|ISO-?220/i,
    torque: {
      of: 'insulated TO-220',
      screw: 'M3',
      from: 0.68,
      to: 0.9,
      most: 1.13,
      source: 'makers’ mounting notes',
    },
  },
  {
    body: /TO-?220/i,
    torque: {
      of: 'TO-220',
      screw: 'M3',
      from: 0.5,
      to: 0.6,
      most: 1,
      source: 'usual figure; limit from makers’ mounting notes',
    },
  },
  {
    body: /TO-?(247|3P)/i,
    torque: { of: 'TO-247', screw: 'M3', from: 0.8, to: 1, source: 'usual figure' },
  },
];

/** Least that a tab must read against its heatsink before its legs are soldered, Ω. */
const LEAST_ISOLATION_OHMS = 20e6;

/** Whether a tab reads apart from its heatsink: over range, or megohms enough. */
export function isApart({ value }: Isolation): boolean {
  return value.kind === 'over' || value.ohms >= LEAST_ISOLATION_OHMS;
}

/** How a part is fastened; undefined when it is on no heatsink. */
export function fasteningOf(board: Board, part: Part): Fastening | undefined {
  const { heatsink } = part;
  if (heatsink === undefined) return undefined;
  const tabPin = tabPinOf(board, part);
  const torque = torqueOf(part);
  const between = part.insulator === 'none' ? undefined : part.insulator;
  return {
    heatsink,
    insulator: insulatorOf(board, part, tabPin),
    ...(between === undefined ? {} : { between }),
    ...(tabPin === undefined ? {} : { tabPin }),
    ...(torque === undefined ? {} : { torque }),
  };
}

/** The board file's own figure before any for the package. */
function torqueOf(part: Part): Torque | undefined {
  const { torque } = part;
  if (torque !== undefined) {
    return { of: part.name, from: torque, to: torque, source: 'board file' };
  }
  return TORQUES.find(({ body }) => body.test(part.package ?? ''))?.torque;
}

/** The pin whose metal a part is fastened by, as its kind's punctured insulator names it. */
export function tabPinOf(board: Board, part: Part): number | undefined {
  const name = part.kind.modes.find(({ toHeatsink }) => toHeatsink !== undefined)?.toHeatsink;
  return part.pins.find((pin) => board.pins[pin]?.name === name);
}

function insulatorOf(board: Board, part: Part, tabPin: number | undefined): Insulator {
  if (part.insulator === 'pad' || part.insulator === 'mica') return 'needed';
  if (INSULATED_BODY.test(part.package ?? '')) return 'in the body';
  const hasTab = part.kind.modes.some(({ toHeatsink }) => toHeatsink !== undefined);
  if (!hasTab) return 'in the body';
  const tab = tabPin === undefined ? undefined : board.pins[tabPin]?.net;
  const metal = board.heatsinks?.find(({ name }) => name === part.heatsink)?.net;
  if (part.insulator === 'none') return metal === tab ? 'same net' : 'in the body';
  if (tab === undefined) return 'as found';
  if (metal !== undefined) return metal === tab ? 'same net' : 'needed';
  const others = board.parts
    .filter(({ heatsink, index }) => heatsink === part.heatsink && index !== part.index)
    .map((other) => tabPinOf(board, other))
    .map((pin) => (pin === undefined ? undefined : board.pins[pin]?.net));
  return others.some((net) => net !== undefined && net !== tab) ? 'needed' : 'as found';
}
