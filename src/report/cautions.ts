import type { Board } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import { type StoredEnergy, storedEnergy } from '../board/stored-energy.ts';
import {
  formatFarads,
  formatJoules,
  formatOhms,
  formatSeconds,
  formatVolts,
  formatWatts,
} from '../board/units.ts';
import { netName } from './names.ts';
import type { Style } from './style.ts';

import { wrap } from './wrap.ts';

/** Charge a board may hold between two nets, in names. */
export interface ChargeView {
  /** The two nets, positive side first where that is known. */
  readonly nets: readonly string[];
  readonly farads: number;
  readonly volts: number;
  /** True when `volts` is what the capacitors are rated for, not a rail's working voltage. */
  readonly rated: boolean;
  readonly joules: number;
  /** A bleed resistor that suits, Ω, the power it takes at first, W, and the time to 1 V, s. */
  readonly bleedOhms: number;
  readonly bleedWatts: number;
  readonly bleedSeconds: number;
}

/** What to mind before hands go on this board. */
export interface CautionsView {
  readonly board: string;
  /** True when something about the board suggests mains or another dangerous voltage. */
  readonly mains: boolean;
  /** Why so: `rail HV, 325 V`. */
  readonly mainsReason?: string;
  readonly charges: readonly ChargeView[];
}

/** DC voltage above which a bare conductor is treated as dangerous to touch (IEC 62368-1, ES1). */
const TOUCH_VOLTS = 60;

const MAINS_NAME = /mains|line[-_ ]?(in|volt)|neutral|^ac[-_]?(in|[ln12])|^(l|n|live|phase)$/i;

/** Below this a charge is felt at most as a tingle and harms parts, not people, J. */
const NOTABLE_JOULES = 0.001;

/** Gathers the cautions of a board, the largest stored energy first. */
export function viewCautions(board: Board): CautionsView {
  const reason = mainsReason(board);
  const charges = storedEnergy(board)
    .filter(({ joules }) => joules >= NOTABLE_JOULES)
    .map((stored) => viewCharge(board, stored));
  const base = { board: harmless(board.name), mains: reason !== undefined, charges };
  return reason === undefined ? base : { ...base, mainsReason: reason };
}

/** All cautions, for the opening of a job. */
export function cautionLines(view: CautionsView, style: Style): string[] {
  const lines = points(view).flatMap((point) => bullet(point, style.width));
  const head = wrap(`Before you touch ${view.board}:`, style.width);
  return [...head, ...lines].map(style.palette.warn);
}

/** The same as a plain list, for paper. */
export function cautionPoints(view: CautionsView): string[] {
  return points(view).map((point) => point.trim());
}

function points(view: CautionsView): string[] {
  return [
    'Local codes and licensed practice come first; nothing here replaces them.',
    'Unplug it, batteries too. It is read cold: no power while probes are on it.',
    ...chargePoints(view.charges),
    ...(view.mains ? mainsPoints(view.mainsReason) : []),
    'Static: wrist strap and mat for cold work, strap off before anything live.',
    'Fumes away from the face, eyes covered; irons, air and heatsinks stay hot.',
  ];
}

/** The cautions in a line or two, for calls that follow an opened job. */
export function shortCautionLines(view: CautionsView, style: Style): string[] {
  const [charge] = view.charges;
  const stored = charge === undefined ? '' : ` Stored: ${chargeText(charge)}.`;
  const mains = view.mains ? ' Mains side: local codes and licensed practice come first.' : '';
  const text = `Unplugged, discharged and checked with a meter?${stored}${mains}`;
  return wrap(text, style.width).map(style.palette.warn);
}

/** `P48/GND: 470 µF at 48 V, 0.54 J`. */
export function chargeText(charge: ChargeView): string {
  const volts = `${formatVolts(charge.volts)}${charge.rated ? ' (rated)' : ''}`;
  const held = `${charge.nets.join('/')}: ${formatFarads(charge.farads)} at ${volts}`;
  return `${held}, ${formatJoules(charge.joules)}`;
}

function chargePoints(charges: readonly ChargeView[]): string[] {
  const how =
    'Discharge through a resistor rated for the voltage and the pulse, with insulated clips, never ' +
    'with a screwdriver; measure below 1 V, wait some minutes, measure again.';
  const shown = charges.filter(({ joules }, index) => index === 0 || joules >= 0.1).slice(0, 4);
  const each = shown.map((charge) => `  ${chargeText(charge)}; ${bleedText(charge)}`);
  const more = charges.length - shown.length;
  return [how, ...each, ...(more > 0 ? [`  and ${more} smaller`] : [])];
}

function bleedText(charge: ChargeView): string {
  const resistor = `${formatOhms(charge.bleedOhms)} (${formatWatts(charge.bleedWatts)} at first)`;
  return `${resistor} to 1 V in ${formatSeconds(Math.max(1, Math.ceil(charge.bleedSeconds)))}`;
}

function mainsPoints(reason: string | undefined): string[] {
  const because = reason === undefined ? '' : ` (${reason})`;
  return [
    `Dangerous voltage when powered${because}: not alone; isolation transformer and current limit ` +
      'before any power; one hand; no jewellery. An isolation transformer also takes the ground-fault ' +
      'breaker out of play.',
  ];
}

function mainsReason(board: Board): string | undefined {
  const rail = board.rails.find(({ volts }) => volts !== undefined && volts >= TOUCH_VOLTS);
  if (rail !== undefined) return `rail ${harmless(rail.name)}, ${rail.volts} V`;
  const net = board.nets.find(({ name }) => MAINS_NAME.test(name));
  if (net !== undefined) return `net ${harmless(net.name)}`;
  const part = board.parts.find(
    ({ kind, volts, text }) =>
      (kind.name === 'varistor' && (volts ?? 0) >= 100) ||
      (volts !== undefined && volts >= 200 && kind.name === 'electrolytic') ||
      (text !== undefined && /mains|\bX[12]\b|\bY[12]\b/.test(text)),
  );
  return part === undefined ? undefined : `part ${harmless(part.name)}`;
}

function viewCharge(board: Board, stored: StoredEnergy): ChargeView {
  const { nets, farads, volts, joules, bleedOhms, bleedWatts, bleedSeconds } = stored;
  const names = nets.map((net) => netName(board, net));
  const rated = stored.voltsFrom === 'rated';
  return { nets: names, farads, volts, rated, joules, bleedOhms, bleedWatts, bleedSeconds };
}

function bullet(text: string, width: number): string[] {
  const depth = text.startsWith('  ') ? 4 : 2;
  const mark = depth === 2 ? '- ' : '    ';
  return wrap(text.trim(), width - depth).map((line, index) =>
    index === 0 ? mark + line : ' '.repeat(depth) + line,
  );
}
