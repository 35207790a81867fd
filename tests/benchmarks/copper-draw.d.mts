export interface DrawnCopper {
  readonly count: number;
  readonly edges: readonly (readonly [number, number, number])[];
  readonly nodes: readonly number[];
}
export function drawCopper(
  shape: 'tree' | 'shortest' | 'trunk' | 'plane' | 'broken plane',
  options: {
    readonly pads: readonly (readonly [number, number])[];
    readonly wide: number;
    readonly spread?: number;
    readonly next: () => number;
  },
): DrawnCopper;
