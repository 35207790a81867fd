import type { CopperForm } from '../../circuit/copper/copper-map.ts';
import type { Place } from './place.ts';
import type { Settled } from './weigh-case.ts';

/** A way the copper may be laid out, with ln of its chance. */
export interface Form extends CopperForm {
  readonly log: number;
}

/** The term that fits best of all that a short leaves open. */
export interface Term extends Settled {
  readonly form: Form;
  readonly place: Place;
}
