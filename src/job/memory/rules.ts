/** What the memory counts as evidence, and for how long. */
export interface MemoryRules {
  /** The handbooks count as much as so many boards. */
  readonly strength: number;
  /** After so many further boards of the same model a job counts half. */
  readonly halfAfter: number;
}

/** What a shop assumes that says nothing else; estimates of ours. */
export const DEFAULT_MEMORY_RULES: MemoryRules = { strength: 20, halfAfter: 200 };
