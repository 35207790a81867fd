/**
 * Gauss elimination with partial pivoting, in place.
 * @param m    row-major, `size` rows of `width` entries; columns from `size` on are right-hand
 *   sides and become the solutions
 * @remarks A row without a pivot (two zero-ohm branches side by side: either may carry the current)
 * is left at zero.
 */
export function eliminate(m: Float64Array, size: number, width: number): void {
  for (let k = 0; k < size; k++) {
    let best = k;
    for (let r = k + 1; r < size; r++) {
      if (Math.abs(m[r * width + k] as number) > Math.abs(m[best * width + k] as number)) best = r;
    }
    if (best !== k) swapRows(m, width, k, best);
    const pivot = m[k * width + k] as number;
    if (pivot === 0) continue;
    for (let r = 0; r < size; r++) {
      if (r === k) continue;
      const factor = (m[r * width + k] as number) / pivot;
      if (factor === 0) continue;
      for (let c = k; c < width; c++) m[r * width + c]! -= factor * (m[k * width + c] as number);
    }
  }
  for (let k = 0; k < size; k++) {
    const pivot = m[k * width + k] as number;
    for (let c = size; c < width; c++) {
      m[k * width + c] = pivot === 0 ? 0 : (m[k * width + c] as number) / pivot;
    }
  }
}

function swapRows(m: Float64Array, width: number, a: number, b: number): void {
  for (let c = 0; c < width; c++) {
    const t = m[a * width + c] as number;
    m[a * width + c] = m[b * width + c] as number;
    m[b * width + c] = t;
  }
}
