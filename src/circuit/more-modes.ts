import type { Board, ModeSpec } from '../board/model.ts';
import { factorLevels, type KnownPart } from './failed-modes.ts';
import { partJunctions } from './part-junctions.ts';
import { LEAST_OHMS, type MoreMode, type PinJunction, type PinResistance } from './part-model.ts';

const NOTHING = {
  opens: false,
  joins: [],
  spread: 0,
  junctions: [],
  junctionOnly: false,
} as const;

/** A part with its healthy junctions worked out. */
interface LitPart extends KnownPart {
  readonly junctions: readonly PinJunction[];
}

/**
 * The failed modes that some meter could show and that neither open a resistance nor join pins:
 * other ohms than it should have, a wiper off its track, a junction where none should be or none
 * where one should be.
 */
export function moreModes(known: LitPart): MoreMode[] {
  return known.part.kind.modes.flatMap((spec) => {
    if (spec.toHeatsink !== undefined) return []; // a short, and searched as one
    if (spec.scales !== undefined) return scaled(known, spec, spec.scales);
    if (spec.cuts !== undefined) return cut(known, spec, spec.cuts);
    if (spec.junctions !== undefined) return junctionAdded(known, spec);
    return dark(known, spec);
  });
}

/** All resistances of a part together; of a part with windings one winding at a time. */
function scaled(known: LitPart, spec: ModeSpec, range: readonly [number, number]): MoreMode[] {
  const { part, healthy, junctions } = known;
  if (healthy.length === 0) return [];
  const several = part.windings.length > 0;
  const choices = several ? healthy.map((element) => [element]) : [healthy];
  return choices.flatMap((chosen) =>
    factorLevels(range).map(({ middle, spread, share }) => ({
      ...NOTHING,
      name: spec.name,
      share: (spec.share * share) / choices.length,
      opens: true,
      joins: healthy.map((element) =>
        chosen.includes(element)
          ? { ...element, ohms: Math.max(element.ohms * middle, LEAST_OHMS) }
          : element,
      ),
      spread,
      junctions,
    })),
  );
}

function cut(
  { healthy, junctions, pinNamed }: LitPart,
  spec: ModeSpec,
  cuts: readonly string[],
): MoreMode[] {
  const pins = cuts.flatMap((name) => pinNamed.get(name) ?? []);
  const left = pins.reduce<readonly PinResistance[]>(withoutContact, healthy);
  if (pins.every((pin) => !healthy.some(({ a, b }) => a === pin || b === pin))) return [];
  return [
    {
      ...NOTHING,
      name: spec.name,
      share: spec.share,
      opens: true,
      joins: left,
      junctions: junctions.filter(
        ({ anode, cathode }) => !pins.includes(anode) && !pins.includes(cathode),
      ),
    },
  ];
}

/** A star of resistances whose middle has lost its pin is the mesh that it equals: R₁₂ = R₁·R₂·ΣG. */
function withoutContact(resistances: readonly PinResistance[], pin: number): PinResistance[] {
  const star = resistances.filter(({ a, b }) => a === pin || b === pin);
  const siemens = star.reduce((sum, { ohms }) => sum + 1 / ohms, 0);
  const far = ({ a, b }: PinResistance): number => (a === pin ? b : a);
  const mesh = star.flatMap((one, k) =>
    star.slice(k + 1).map((other) => ({
      a: far(one),
      b: far(other),
      ohms: one.ohms * other.ohms * siemens,
    })),
  );
  return [...resistances.filter((element) => !star.includes(element)), ...mesh];
}

function junctionAdded({ board, part, pinNamed, roles }: LitPart, spec: ModeSpec): MoreMode[] {
  const junctions = partJunctions(board, part, spec.junctions ?? [], pinNamed, roles).filter(
    (junction) => isBetweenNets(board, junction),
  );
  if (junctions.length === 0) return [];
  return [{ ...NOTHING, name: spec.name, share: spec.share, junctions, junctionOnly: true }];
}

/** An open that only a meter which turns junctions on could see. */
function dark({ board, healthy, junctions }: LitPart, spec: ModeSpec): MoreMode[] {
  if (!spec.opens || spec.joins.length > 0 || healthy.length > 0) return [];
  if (!junctions.some((junction) => isBetweenNets(board, junction))) return [];
  return [{ ...NOTHING, name: spec.name, share: spec.share, opens: true, junctionOnly: true }];
}

function isBetweenNets(board: Board, { anode, cathode }: PinJunction): boolean {
  return board.pins[anode]?.net !== board.pins[cathode]?.net;
}
