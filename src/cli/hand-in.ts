import type { Context } from './context.ts';
import { databaseOf, folderOf, shopInForce } from './shop.ts';
import type { Work } from './work.ts';

/**
 * Once a job is signed off, the shop's other benches learn from it at once. A database that cannot be reached,
 * or refuses, is told of and changes nothing: the record has it all, and it is handed in another time.
 */
export async function handInSignedOff(context: Context, { label, derived }: Work): Promise<void> {
  if (derived.signOff === undefined) return;
  const inForce = await shopInForce(context, folderOf(label));
  if (!inForce.shop.memory.use || databaseOf(inForce) === undefined) return;
  const { sharedMemoryOf } = await import('./memory.ts');
  const store = await sharedMemoryOf(context, inForce, folderOf(label));
  await store.handInQuietly();
}
