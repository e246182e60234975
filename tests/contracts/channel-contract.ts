import { describe, expect, it } from 'vitest'
import type { Channel, Letter } from '../../daemon/ports/channel.js'

/** A letter as the call-out writes it. */
export const exampleLetter = (change: Partial<Letter> = {}): Letter => ({
  id: 47,
  address: '+44 7700 900101',
  person: 'First keeper',
  language: 'en',
  text: 'CRITICAL Larkfield tank 1: oxygen 3.8 (limit 4.5 mg/L) since 02:12. "Blower A" lost pressure. Reply OK 47',
  subject: 'CRITICAL Larkfield tank 1: oxygen 3.8 (limit 4.5 mg/L)',
  body: 'CRITICAL Larkfield tank 1: oxygen\n\nMeasured: oxygen 3.8 mg/L, falling\n',
  link: null,
  test: false,
  ...change,
})

export interface ChannelUnderTest {
  readonly channel: Channel
  /** An address that it takes. */
  readonly address: string
  /** Takes the other side away. */
  breakIt(): Promise<void>
  cleanUp(): Promise<void>
}

/** What every channel promises (ports/channel.ts), run by each of them. */
export function channelContract(kind: string, open: () => Promise<ChannelUnderTest>): void {
  describe(`a channel keeps its promises: ${kind}`, () => {
    it('says that the other side took a letter', async () => {
      const { channel, address, cleanUp } = await open()
      expect(await channel.send(exampleLetter({ address }))).toMatchObject({ kind: 'accepted' })
      await channel.close()
      await cleanUp()
    })
    it('takes many letters at once, each with its own answer', async () => {
      const { channel, address, cleanUp } = await open()
      const letters = Array.from({ length: 12 }, (_, id) => exampleLetter({ id: 100 + id, address }))
      const sent = await Promise.all(letters.map((letter) => channel.send(letter)))
      expect(sent.map(({ kind: outcome }) => outcome)).toEqual(letters.map(() => 'accepted'))
      await channel.close()
      await cleanUp()
    })
    it('does not throw when the other side is gone: worth trying again', async () => {
      const { channel, address, breakIt, cleanUp } = await open()
      await breakIt()
      const sent = await channel.send(exampleLetter({ address }))
      expect(sent.kind).toBe('temporary')
      expect(sent.detail).not.toBe('')
      await channel.close()
      await cleanUp()
    })
    it('closes more than once, and refuses letters afterwards without throwing', async () => {
      const { channel, address, cleanUp } = await open()
      await channel.close()
      await channel.close()
      expect(await channel.send(exampleLetter({ address }))).toEqual({
        kind: 'temporary',
        detail: 'the channel is closed',
      })
      await cleanUp()
    })
  })
}
