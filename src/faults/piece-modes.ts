import type { Part } from '../board/model.ts';
import type { Circuit } from '../circuit/circuit.ts';
import type { PartMode, PinJunction } from '../circuit/part-model.ts';
import { turnedMode } from '../circuit/turned.ts';
import type { Priors } from './priors.ts';
import type { FaultSettings } from './settings.ts';

/** A failed mode as the search asks for it. */
export interface SearchedMode extends PartMode {
  readonly junctions?: readonly PinJunction[];
}

/** The failed modes of one piece, and the chance of each before anything is known of it. */
export interface PieceModes {
  readonly modes: readonly SearchedMode[];
  readonly chances: readonly number[];
}

/** What the modes of pieces are worked out from. */
export interface ModeSources {
  readonly circuit: Circuit;
  readonly priors: Priors;
  readonly settings: FaultSettings;
  /** Parts of which readings ask more than a beeper would tell. */
  readonly asked: ReadonlySet<number>;
}

/** @param piece 0: the one found; else a newer one */
export function pieceModes(
  { circuit, priors, settings, asked }: ModeSources,
  part: number,
  piece: number,
): PieceModes {
  const ratio = piece === 0 ? 1 : settings.newPieceRatio;
  const { board, models } = circuit;
  const model = models[part];
  const own = priors.modes[part];
  const chances: number[] = new Array(own?.length ?? 0);
  own?.forEach((chance, k) => {
    chances[k] = chance * ratio;
  });
  if (model === undefined || !asked.has(part)) return { modes: model?.modes ?? [], chances };
  const modes: SearchedMode[] = [...model.modes];
  modes.push(...model.moreModes);
  chances.push(...Array.from(priors.moreOf(part), (chance) => chance * ratio));
  const turned = turnedMode(board, board.parts[part] as Part, model);
  if (turned !== undefined) {
    modes.push(turned);
    chances.push(piece === 0 ? settings.turnedFoundChance : settings.turnedNewChance);
  }
  return { modes, chances };
}
