/** Both ends belong to it. */
export type Range = readonly [low: number, high: number]

/** Whether `value` lies in `range`; false for NaN. */
export const inside = (range: Range, value: number): boolean => value >= range[0] && value <= range[1]

export const zeroOrMore: Range = [0, Number.MAX_VALUE]
/** Greater than zero, for what is divided by. */
export const aboveZero: Range = [Number.MIN_VALUE, Number.MAX_VALUE]
