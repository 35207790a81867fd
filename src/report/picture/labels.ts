import { percent } from '../words.ts';
import { NAMED_WEIGHT, type PictureView, type PlaceView } from './model.ts';

/** Whether a place has something to tell beside that it is there. */
export function isNotable({ value, weight = 0, next, isFixed, sign }: PlaceView): boolean {
  const isSought = sign !== undefined || next.length > 0;
  return value !== undefined || weight >= NAMED_WEIGHT || isSought || isFixed === true;
}

/** What is told first where there is no room for all: the next step, suspects by weight, near readings. */
export function compareNotable(a: PlaceView, b: PlaceView): number {
  return (
    b.next.length - a.next.length ||
    (b.weight ?? 0) - (a.weight ?? 0) ||
    (b.value?.shade ?? 0) - (a.value?.shade ?? 0)
  );
}

/** `C37 30.1 mΩ, 41 %, red here`. */
export function labelOf({ name, value, weight = 0, next, isFixed }: PlaceView): string {
  const facts = [
    value === undefined ? name : `${name} ${value.text}`,
    ...(isFixed === true ? ['fixed probe'] : []),
    ...(weight >= NAMED_WEIGHT ? [percent(weight)] : []),
    ...(next.length === 0 ? [] : [`${next.join('+')} here`]),
  ];
  return facts.join(', ').replaceAll('\u00a0', ' ');
}

/** Without the letters that look like another letter or a figure. */
const LETTERS = 'abcdefghijkmnpqrstuvwxyzABCDEFGHJKLMNPQRSTUVWXYZ';

/** `a`, `b`, … `Z`, then `aa` and on: never taken for a part, whose name has a figure. */
export function keyNumber(index: number): string {
  const last = LETTERS[index % LETTERS.length] ?? '?';
  return index < LETTERS.length ? last : keyNumber(Math.floor(index / LETTERS.length) - 1) + last;
}

/** `b C60, fixed probe`: what stands at the letters that neither a reading nor a suspect is listed with. */
export function loneLetters(view: PictureView, keys: ReadonlyMap<string, string>): string[] {
  const listed = new Set([
    ...view.readings.map(({ place }) => place),
    ...view.suspects.filter(({ weight }) => weight >= NAMED_WEIGHT).map(({ part }) => part),
  ]);
  const places = view.sides.flatMap((side) => side.places);
  return places.flatMap((place) => {
    const key = keys.get(place.name);
    return key === undefined || listed.has(place.name) ? [] : [`${key} ${labelOf(place)}`];
  });
}
