/** Runs the command with the words after its name; gives the exit code. */
export async function main(_words: readonly string[]): Promise<number> {
  return 0;
}
