export function dice(seed: number): () => number;
