// How lines of the shelf read in its tables.

/** The price of one, from few to many. */
export const priceRange = (line: { price_from?: string | null; price_least?: string | null }): string => {
  const { price_from: few, price_least: many } = line;
  return !few ? '–' : many && many !== few ? `${few} … ${many}` : few;
};

/** How many are there, in a column of its own. */
export const stockFigure = (stock: number | null | undefined): string =>
  stock == null ? 'not listed' : stock === 0 ? 'none' : stock.toLocaleString('en');
