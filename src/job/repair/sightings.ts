/** What eyes found, as far as it calls for a repair. */
import type { Look, LookFinding } from '../../faults/evidence.ts';
import type { DerivedJob } from '../derive.ts';

/** Findings after which a part is renewed, whatever a meter says of it. */
const RENEWED: ReadonlySet<LookFinding> = new Set([
  'burnt',
  'cracked',
  'leaking',
  'missing',
  'wrong part',
]);

export interface Sightings {
  /** By part: the finding that condemns the piece it was made on, latest. */
  readonly parts: ReadonlyMap<number, { readonly look: Look; readonly piece: number }>;
  /** By pin: a joint found bad and not heated again since. */
  readonly joints: ReadonlyMap<number, Look>;
}

/** Findings that stand: a later `looks sound` at the same place takes the earlier one back. */
export function sightingsOf({ evidence }: DerivedJob): Sightings {
  const parts = new Map<number, { look: Look; piece: number }>();
  const joints = new Map<number, Look>();
  for (const look of evidence.looks) {
    if (look.pin !== undefined) {
      const reflowed = evidence.state.reflowed.get(look.pin) ?? 0;
      const isOld = (look.state.reflowed.get(look.pin) ?? 0) < reflowed;
      if (look.finding === 'looks sound' || isOld) joints.delete(look.pin);
      else if (isBadJoint(look.finding)) joints.set(look.pin, look);
    } else if (look.part !== undefined) {
      if (look.finding === 'looks sound') parts.delete(look.part);
      const piece = look.state.piece.get(look.part) ?? 0;
      if (RENEWED.has(look.finding)) parts.set(look.part, { look, piece });
    }
  }
  return { parts, joints };
}

function isBadJoint(finding: LookFinding): boolean {
  return finding === 'off its pad' || finding === 'cracked' || finding === 'burnt';
}
