declare const name: unique symbol

/** One quantity at one place: `tank-1/dissolved_oxygen`. */
export type SignalName = string & { readonly [name]: 'signal' }

export const signalName = (place: string, quantity: string): SignalName =>
  `${place}/${quantity}` as SignalName

/** Splits `tank-1/dissolved_oxygen`; null when the text is not exactly two non-empty parts. */
export function signalParts(text: string): { place: string; quantity: string } | null {
  const cut = text.indexOf('/')
  if (cut <= 0 || cut !== text.lastIndexOf('/') || cut === text.length - 1) return null
  return { place: text.slice(0, cut), quantity: text.slice(cut + 1) }
}

export const placeOf = (signal: SignalName): string => signal.slice(0, signal.indexOf('/'))
export const quantityOf = (signal: SignalName): string => signal.slice(signal.indexOf('/') + 1)
