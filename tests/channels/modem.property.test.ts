import fc from 'fast-check'
import { expect, it } from 'vitest'
import { isGsm7 } from '../../daemon/callout/gsm7.js'
import { atParts, type AtPart } from '../../daemon/channels/modem/at-lines.js'
import { readIncoming } from '../../daemon/channels/modem/incoming.js'
import { submitUnits } from '../../daemon/channels/modem/submit.js'
import { minutes, seconds } from '../../daemon/units/time.js'
import { Talk } from './modem-talk.js'

const to = { digits: '447700900101', isInternational: true }

/** What a receiver reads: the submitted unit with the head of one that comes in (3GPP TS 23.040, 9.2.2.1 beside 9.2.2.2). */
function asReceived(hex: string): string {
  const first = parseInt(hex.slice(2, 4), 16) & 0x40
  const [address, coding, data] = [hex.slice(6, 22), hex.slice(24, 26), hex.slice(28)]
  return `00${first.toString(16).padStart(2, '0')}${address}00${coding}72100120410000${data}`
}

const gsmText = fc
  .array(fc.constantFrom(...'abcXYZ 0189@£_ΔÄñü{}[]~|^€\\\n'), { minLength: 1, maxLength: 400 })
  .map((characters) => characters.join(''))
const anyText = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 200 })

it('what is sent is what is read, whatever the characters and however many pieces', () => {
  fc.assert(
    fc.property(fc.oneof(gsmText, anyText), fc.integer({ min: 0, max: 255 }), (text, reference) => {
      const read = submitUnits({ to, text, reference, receipt: true }).map(({ hex }) =>
        readIncoming(asReceived(hex)),
      )
      const pieces = read.map((one) => {
        if (one.kind !== 'text') throw new Error(`read as ${one.kind}`)
        return one
      })
      expect(pieces.map((one) => one.text).join('')).toBe(text)
      if (pieces.length > 1) {
        expect(pieces.map((one) => one.piece)).toEqual(
          pieces.map((_one, index) => ({ reference, of: pieces.length, number: index + 1 })),
        )
      }
    }),
    { numRuns: 500 },
  )
})

it('no unit is longer than a message may be: 140 octets of user data (3GPP TS 23.040, 9.2.3.16)', () => {
  fc.assert(
    fc.property(fc.oneof(gsmText, anyText), (text) => {
      for (const { hex, length } of submitUnits({ to, text, reference: 7, receipt: true })) {
        const octets = hex.length / 2 - 1
        expect(octets).toBe(length)
        const announced = parseInt(hex.slice(28, 30), 16)
        const userData = hex.length / 2 - 15
        expect(userData).toBeLessThanOrEqual(140)
        expect(userData).toBe(isGsm7(text) ? Math.ceil((announced * 7) / 8) : announced)
      }
    }),
  )
})

it('no data unit that comes in, however broken, does more than be unreadable', () => {
  const unit = '07914477000900F0040C91447700091010000072100120410000' + '05CF25887603'
  fc.assert(
    fc.property(
      fc.oneof(
        fc.uint8Array({ maxLength: 60 }).map((octets) => Buffer.from(octets).toString('hex')),
        fc
          .tuple(fc.nat(unit.length / 2 - 1), fc.integer({ min: 0, max: 255 }), fc.nat(unit.length))
          .map(([at, octet, length]) =>
            `${unit.slice(0, 2 * at)}${octet.toString(16).padStart(2, '0')}${unit.slice(2 * at + 2)}`.slice(
              0,
              length,
            ),
          ),
        fc.string(),
      ),
      (hex) => {
        expect(['text', 'receipt', 'unreadable']).toContain(readIncoming(hex).kind)
      },
    ),
    { numRuns: 2000 },
  )
})

it('lines are the same in whatever pieces they arrive', () => {
  const said =
    '\r\n+CMGL: 1,0,,24\r\n07914477\r\n\r\nOK\r\nAT+CMGS=39\r\r\n> 0031\x1a\r\n+CMGS: 4\r\n\r\nOK\r\n'
  const read = (pieces: readonly string[]): readonly AtPart[] => {
    let rest = ''
    return pieces.flatMap((piece) => {
      const cut = atParts(rest, piece)
      rest = cut.rest
      return cut.parts
    })
  }
  const whole = read([said])
  expect(whole.filter(({ kind }) => kind === 'prompt')).toHaveLength(1)
  fc.assert(
    fc.property(fc.uniqueArray(fc.nat(said.length), { maxLength: 20 }), (cuts) => {
      const at = [0, ...cuts.toSorted((one, other) => one - other), said.length]
      expect(read(at.slice(1).map((end, index) => said.slice(at[index], end)))).toEqual(whole)
    }),
  )
})

// What a modem may say at any time between two lines: 3GPP TS 27.005, 3.4.1; 27.007, 7.2; ITU-T V.250, 6.3; and things of its maker.
const notices = [
  '+CMTI: "SM",9',
  '+CREG: 1',
  '+CREG: 5,"00C3","1A2B"',
  'RING',
  '+CRING: VOICE',
  '^RSSI: 17',
  '+CDS: 25\r\n00062A0C914477000910107210012041000072100120510000' + '00',
  '+CUSD: 2',
]

it('whatever it says in the middle, and in whatever pieces: what is sent, read and deleted is the same', () => {
  const okUnit = '07914477000900F0040C91447700091010000072100120410000' + '05CF25887603'
  let count = 0
  fc.assert(
    fc.property(
      fc.boolean(),
      fc.array(fc.tuple(fc.nat(120), fc.constantFrom(...notices)), { maxLength: 8 }),
      fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 1, maxLength: 5 }),
      (keepsEcho, inserted, sizes) => {
        count += 1
        const talk = new Talk()
        let lineCount = 0
        talk.chop = (text) => {
          // Between any two lines, also between the two that belong together.
          const all = text
            .split(/(?<=\r\n)/)
            .map((line) => {
              lineCount += 1
              const said = inserted
                .filter(([at]) => at === lineCount)
                .map(([, notice]) => `\r\n${notice}\r\n`)
              return said.join('') + line
            })
            .join('')
          const pieces: string[] = []
          for (let at = 0, turn = 0; at < all.length; turn++) {
            const size = sizes[turn % sizes.length] ?? 1
            pieces.push(all.slice(at, at + size))
            at += size
          }
          return pieces
        }
        if (keepsEcho) talk.core.twists.push((line) => (line === 'ATE0' ? '\r\nERROR\r\n' : undefined))
        talk.core.receive(okUnit)
        talk.begin()
        expect(talk.outcome(talk.send('Larkfield tank 1: oxygen 3.8'))).toBe(
          'accepted: the network took it, reference 1',
        )
        expect(talk.texts()).toEqual(['+447700900101: OK 47'])
        talk.settle().pass(minutes(1)).pass(seconds(5))
        expect(talk.core.stored.size).toBe(0)
        expect(talk.core.sent).toHaveLength(1)
        expect(talk.troubles()).toEqual([])
      },
    ),
    { numRuns: 300 },
  )
  expect(count).toBeGreaterThanOrEqual(300)
})

it('whatever fails at whichever command, no text is sent twice without the call-out knowing, and none is lost', () => {
  fc.assert(
    fc.property(
      fc.array(
        fc.tuple(
          fc.integer({ min: 1, max: 45 }),
          fc.constantFrom('silence', 'ERROR', '+CMS ERROR: 500', 'reset'),
        ),
        {
          maxLength: 4,
        },
      ),
      (faults) => {
        const talk = new Talk()
        let heard = 0
        talk.core.twists.push(() => {
          heard += 1
          const [, how] = faults.find(([at]) => at === heard) ?? []
          if (how === undefined) return undefined
          if (how === 'reset') {
            talk.core.reset()
            return null
          }
          return how === 'silence' ? null : `\r\n${how}\r\n`
        })
        talk.begin()
        const attempt = talk.send()
        for (let turn = 0; turn < 12; turn++) {
          talk.pass(seconds(20))
          // The line is opened anew when the session asks for it.
          if (!talk.isPlugged) talk.plug()
        }
        const outcome = talk.outcome(attempt)
        if (outcome?.startsWith('accepted') === true) expect(talk.core.sent).toHaveLength(1)
        else if (outcome?.includes('may have been sent') === true)
          expect(talk.core.sent.length).toBeLessThanOrEqual(1)
        else {
          expect(outcome).toMatch(/^temporary/)
          expect(talk.core.sent).toEqual([])
        }
        expect(talk.told.filter(({ kind }) => kind === 'sent')).toHaveLength(1)
        expect(talk.session.health().kind).toBe('ready')
      },
    ),
    { numRuns: 300 },
  )
})
