/** So many of a list at most, evenly spaced over it. */
export function spacedOut<T>(list: readonly T[], most: number): readonly T[] {
  if (list.length <= most) return list;
  return Array.from({ length: most }, (_, k) => list[Math.floor((k * list.length) / most)] as T);
}
