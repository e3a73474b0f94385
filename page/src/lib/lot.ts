// What is agreed of a lot, remembered for each session.
import type { InspectionBody } from './interface';

export interface Agreed {
  size: number;
  level: string;
  aql: number;
  /** Empty: as the lots before propose. */
  severity: NonNullable<InspectionBody['plan']['severity']> | '';
  least: string;
  most: string;
}

export const LEVELS = ['S-1', 'S-2', 'S-3', 'S-4', 'I', 'II', 'III'];
export const LIMITS = [0.4, 0.65, 1, 1.5, 2.5, 4];
export const USUAL: Agreed = { size: 500, level: 'II', aql: 1, severity: '', least: '', most: '' };

const key = (session: string) => `lodewright.bench.lot.${session}`;

export function recall(session: string): Agreed {
  try {
    const known = JSON.parse(localStorage.getItem(key(session)) ?? '{}') as Partial<Agreed>;
    return { ...USUAL, ...known };
  } catch {
    return { ...USUAL };
  }
}

export function remember(session: string, agreed: Agreed): void {
  try {
    localStorage.setItem(key(session), JSON.stringify(agreed));
  } catch {
    // It is asked for anew next time.
  }
}

/** What is agreed as it is sent. A limit without a unit is in that of the readings. */
export function inspectionOf(agreed: Agreed, unit: string): InspectionBody {
  const limit = (text: string) => (/^\s*[\d.,]+\s*$/.test(text) ? `${text.trim().replace(',', '.')} ${unit}` : text);
  const { size, level, aql, severity } = agreed;
  return {
    plan: { lot_size: Math.round(size) || 0, level, aql, severity: severity || null },
    least: limit(agreed.least),
    most: limit(agreed.most),
  };
}
