// Decomposition makes this Greek letter of the micro in signs like ㎌.
const micro = 'μ'

/** Signs that compatibility decomposition does not bring into plain letters. Common practice. */
const signs: ReadonlyMap<string, string> = new Map(
  Object.entries({
    '‘': "'",
    '’': "'",
    '‚': "'",
    '‛': "'",
    '`': "'",
    '´': "'",
    ʼ: "'",
    '′': "'",
    '‹': "'",
    '›': "'",
    '“': '"',
    '”': '"',
    '„': '"',
    '‟': '"',
    '«': '"',
    '»': '"',
    '″': '"',
    '‐': '-',
    '‑': '-',
    '‒': '-',
    '–': '-',
    '—': '-',
    '―': '-',
    '−': '-',
    '•': '-',
    '·': '.',
    '…': '...',
    '×': 'x',
    '÷': '/',
    '⁄': '/',
    '±': '+/-',
    '≤': '<=',
    '≥': '>=',
    '≈': '~',
    '→': '->',
    '←': '<-',
    '°': '',
    º: 'o',
    ª: 'a',
    µ: 'u',
    '©': '(c)',
    '®': '(r)',
    '™': '',
    '№': 'No',
    æ: 'ae',
    œ: 'oe',
    Œ: 'OE',
    ł: 'l',
    Ł: 'L',
    đ: 'd',
    Đ: 'D',
    ð: 'd',
    Ð: 'D',
    þ: 'th',
    Þ: 'Th',
    ı: 'i',
    ħ: 'h',
    Ħ: 'H',
    ŋ: 'n',
    Ŋ: 'N',
    ŧ: 't',
    Ŧ: 'T',
    ĸ: 'k',
    ẞ: 'SS',
    '¢': 'c',
    '¦': '|',
  }),
)

const pairs = (from: string, to: string): readonly (readonly [string, string])[] => {
  const latin = to.split(' ')
  return [...from].map((letter, index) => [letter, latin[index] ?? ''] as const)
}

/** Small letters of scripts that keepers may write names in; `_` stands for nothing. Common practice, after ISO 9 and ISO 843 without marks. */
const letters: ReadonlyMap<string, string> = new Map([
  ...pairs(
    'абвгдежзийклмнопрстуфхцчшщъыьэюя',
    'a b v g d e zh z i y k l m n o p r s t u f kh ts ch sh shch _ y _ e yu ya',
  ),
  ...pairs('ёєіїґўјљњћђџ', 'yo ye i yi g u j lj nj c dj dz'),
  ...pairs('αβγδεζηθικλμνξοπρσςτυφχψω', 'a v g d e z i th i k l m n x o p r s s t y f ch ps o'),
])

/**
 * One character in characters that `fits` accepts: a sign's plain form, a letter without its accents, a foreign letter
 * in Latin ones, '' for a mark that only modifies, `?` when there is none.
 */
export function transliterated(character: string, fits: (text: string) => boolean): string {
  const sign = signs.get(character)
  if (sign !== undefined) return sign
  const foreign = inLatin(character)
  if (foreign !== null) return foreign
  let plain = ''
  for (const part of character.normalize('NFKD')) {
    if (/\p{M}|\p{Cf}/u.test(part)) continue
    const next = fits(part) ? part : part === micro ? 'u' : (signs.get(part) ?? inLatin(part) ?? '?')
    plain += fits(next) ? next : '?'
  }
  return plain.replaceAll(/\?{2,}/g, '?')
}

function inLatin(character: string): string | null {
  const small = character.toLowerCase()
  const latin = letters.get(small)
  if (latin === undefined) return null
  if (latin === '_') return ''
  return small === character ? latin : latin.charAt(0).toUpperCase() + latin.slice(1)
}
