import type { Part } from '../../board/model.ts';
import { listedPrice, type PriceList } from './price-list.ts';
import type { Prices } from './shop.ts';

/** What a new part costs, and how that is known. */
export interface PartPrice {
  readonly price: number;
  /** `list`: by its part number. `usual`: what parts of its kind usually cost in this shop. */
  readonly by: 'list' | 'usual';
}

/** Prices of a shop. */
export interface PriceBook {
  /** Undefined where nothing says: an unknown price is never taken for nothing. */
  priceOf(part: Part): PartPrice | undefined;
}

/** The prices of a list, with the shop's usual ones behind it. */
export function priceBook(prices: Prices, list: PriceList | undefined): PriceBook {
  const known = new Map<string, PartPrice | undefined>();
  const find = (part: Part): PartPrice | undefined => {
    for (const number of [part.partNumber, numberIn(part.text)]) {
      if (list === undefined || number === undefined) continue;
      const listed = listedPrice(list, number);
      if (listed !== undefined) return { price: listed.price, by: 'list' };
    }
    const usual = prices.usual.get(part.kind.name);
    return usual === undefined ? undefined : { price: usual, by: 'usual' };
  };
  return {
    priceOf(part) {
      const key = `${part.partNumber ?? ''}\n${part.text ?? ''}\n${part.kind.name}`;
      if (!known.has(key)) known.set(key, find(part));
      return known.get(key);
    },
  };
}

/** What is printed on a part is its number, where it looks like one and not like a value. */
function numberIn(text: string | undefined): string | undefined {
  return text !== undefined && /^(?=.*\d)(?=.*[A-Za-z]{2}).{5,}$/.test(text) ? text : undefined;
}
