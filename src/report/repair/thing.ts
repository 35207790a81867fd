/** What a part is, in words, as the list and the order say it. */
import type { Part } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import { type Identity, identityOf } from '../../job/repair/identity.ts';

/** `n-channel MOSFET, 100 V`; what is printed on it behind, where the board file says. */
export function whatOf({ title, value, text }: Identity): string {
  return harmless([title, value, text ?? ''].filter(Boolean).join(', '));
}

/** `IRFP4110, n-channel MOSFET, 100 V, TO-247`. */
export function fullThing(part: Part): string {
  const identity = identityOf(part);
  const facts = [identity.partNumber ?? '', whatOf(identity), identity.package ?? ''];
  return harmless(facts.filter(Boolean).join(', '));
}
