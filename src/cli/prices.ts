import { dirname, resolve } from 'node:path';
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import { readPriceList } from '../job/shop/price-list.ts';
import { type PriceBook, priceBook } from '../job/shop/prices.ts';
import type { Context } from './context.ts';
import { printDiagnostics } from './diagnostics.ts';
import { readText } from './files.ts';
import type { ShopInForce } from './shop.ts';

/** The prices of a shop, with what is odd about its list. */
export interface ShopPrices extends PriceBook {
  /** The list's file, where there is one. */
  readonly file?: string;
  readonly warnings: readonly Diagnostic[];
}

const read = new WeakMap<ShopInForce, ShopPrices>();

/**
 * The prices of a shop; its list is looked for from the settings file's folder. Read once per run.
 * @throws {InputError} when the list cannot be read
 */
export async function pricesOf(context: Context, inForce: ShopInForce): Promise<ShopPrices> {
  const held = read.get(inForce);
  if (held !== undefined) return held;
  const { prices, currency } = inForce.shop;
  const made = await openPrices();
  read.set(inForce, made);
  return made;

  async function openPrices(): Promise<ShopPrices> {
    if (prices.list === undefined) return { ...priceBook(prices, undefined), warnings: [] };
    const file = resolve(dirname(inForce.file ?? '.'), prices.list);
    const list = readPriceList(await readText(file, context), prices.list);
    const warnings = [...list.warnings, ...otherCurrency(list.currency, currency, prices.list)];
    return { ...priceBook(prices, list), file: prices.list, warnings };
  }
}

const told = new WeakSet<ShopInForce>();

/** The same; a list that cannot be read is told of once, as a warning, and leaves nothing. */
export async function pricesIfRead(
  context: Context,
  inForce: ShopInForce,
): Promise<ShopPrices | undefined> {
  try {
    return await pricesOf(context, inForce);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const warnings = error.diagnostics.map((each) => ({ ...each, severity: 'warning' as const }));
    if (!told.has(inForce)) printDiagnostics(context, warnings);
    told.add(inForce);
    return undefined;
  }
}

function otherCurrency(listed: string | undefined, shop: string, file: string): Diagnostic[] {
  if (listed === undefined || !/^[A-Z]{3}$/.test(shop) || listed === shop) return [];
  return [
    {
      code: 'OTHER_CURRENCY',
      severity: 'warning',
      message: `"${file}" gives prices in ${listed}, and the shop's currency is ${shop}; they are added as they stand`,
    },
  ];
}
