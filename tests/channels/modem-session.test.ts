import { describe, expect, it } from 'vitest'
import { milliseconds, minutes, seconds } from '../../daemon/units/time.js'
import { Talk } from './modem-talk.js'

// Data units of texts that come in: "OK 47" and the two pieces of "Вада", from +447700900101; see modem-pdu.test.ts.
const head = '07914477000900F0'
const sender = '0C91447700910010'.replace('910010', '091010')
const okUnit = `${head}04${sender}000072100120410000` + '05CF25887603'
const piece = (number: 1 | 2) =>
  `${head}44${sender}000872100120410000` + `0A05000307020${number}` + ['', '04120430', '04340430'][number]
const receiptUnit = (reference: number, status = '00') =>
  '0006' +
  reference.toString(16).padStart(2, '0').toUpperCase() +
  `${sender}7210012041000072100120510000${status}`

const silentTo =
  (form: RegExp, times = Infinity) =>
  (line: string): null | undefined => {
    if (times <= 0 || !form.test(line)) return undefined
    times -= 1
    return null
  }
const refusing =
  (form: RegExp, answer: string, times = Infinity) =>
  (line: string): string | undefined => {
    if (times <= 0 || !form.test(line)) return undefined
    times -= 1
    return `\r\n${answer}\r\n`
  }

describe('a modem that is well', () => {
  it('is set up and ready, with its signal in dBm (3GPP TS 27.007, 8.5)', () => {
    const talk = new Talk().begin()
    expect(talk.session.health()).toEqual({ kind: 'ready', signal: -79, isRoaming: false })
    expect(talk.core).toMatchObject({ echo: false, errorCodes: true, format: 0 })
    expect(talk.told).toEqual([])
  })

  it('sends a text, and says by which reference the network knows it', () => {
    const talk = new Talk().begin()
    const attempt = talk.send()
    expect(talk.outcome(attempt)).toBe('accepted: the network took it, reference 1')
    expect(talk.core.sent).toEqual([
      '0031000C9144770009101000008F1CCCB07C6D4E97D964103DEC5E83623AD01B9F3F97DDA0990B07',
    ])
    expect(talk.core.commands.at(-1)).toBe('AT+CMGS=39')
  })

  it('sends what was asked for while it started', () => {
    const talk = new Talk()
    const attempt = talk.send()
    expect(talk.outcome(attempt)).toBeNull()
    talk.begin()
    expect(talk.outcome(attempt)).toMatch(/^accepted/)
  })

  it('sends a long text as pieces that the receiver joins', () => {
    const talk = new Talk().begin()
    expect(talk.outcome(talk.send('a'.repeat(300)))).toBe('accepted: the network took it, reference 1, 2')
    expect(talk.core.sent).toHaveLength(2)
  })

  it('that prompts twice is given the text once', () => {
    const talk = new Talk().begin()
    talk.chop = (text) => (text.includes('> ') ? [text, text] : [text])
    expect(talk.outcome(talk.send())).toMatch(/^accepted/)
    expect(talk.core.sent).toHaveLength(1)
    expect(talk.written.filter((text) => text.endsWith('\x1a'))).toHaveLength(1)
  })

  it('is looked after every minute: one that reset itself is set up again', () => {
    const talk = new Talk().begin()
    talk.core.reset()
    talk.say('\r\nRDY\r\n')
    talk.pass(minutes(1))
    expect(talk.core).toMatchObject({ echo: false, errorCodes: true, format: 0 })
    expect(talk.session.health().kind).toBe('ready')
  })

  it('sends right after it reset itself, before anybody looked after it', () => {
    const talk = new Talk().begin()
    talk.core.reset()
    expect(talk.outcome(talk.send())).toMatch(/^accepted/)
    expect(talk.core.sent).toEqual([expect.stringMatching(/^0031/)])
  })

  it('may stand in a packet network alone, for texts only, or abroad (3GPP TS 27.007, 7.2 and 10.1.22)', () => {
    const packet = new Talk()
    Object.assign(packet.core, { registration: 0, packetRegistration: 1 })
    expect(packet.begin().session.health().kind).toBe('ready')
    const abroad = new Talk()
    abroad.core.registration = 7
    expect(abroad.begin().session.health()).toMatchObject({ kind: 'ready', isRoaming: true })
  })

  it('may not know its signal', () => {
    const talk = new Talk()
    talk.core.signal = 99
    expect(talk.begin().session.health()).toMatchObject({ kind: 'ready', signal: null })
  })

  it('is not taken in by its own notices of registration while it is asked for it', () => {
    const talk = new Talk()
    talk.core.twists.push((line) =>
      line === 'AT+CREG?' ? '\r\n+CREG: 5,"00C3","1A2B"\r\n\r\n+CREG: 2,1\r\n\r\nOK\r\n' : undefined,
    )
    expect(talk.begin().session.health()).toMatchObject({ kind: 'ready', isRoaming: false })
  })
})

describe('a modem that writes text only', () => {
  it('is given numbers and texts in hexadecimal UCS-2 (3GPP TS 27.005, 3.5.1 and 4.3)', () => {
    const talk = new Talk()
    talk.core.knowsUnits = false
    talk.begin()
    expect(talk.outcome(talk.send('OK €'))).toMatch(/^accepted/)
    expect(talk.core.commands.at(-2)).toBe('AT+CSMP=49,143,0,0')
    expect(talk.core.commands.at(-1)).toBe(
      'AT+CMGS="002B003400340037003700300030003900300030003100300031",145',
    )
    expect(talk.core.sent).toEqual(['004F004B002020AC'])
  })

  it('is read: sender, time, text; a text "OK" is no end of an answer', () => {
    const talk = new Talk()
    talk.core.knowsUnits = false
    talk.begin()
    const from = '002B003400340037003700300030003900300030003100300031'
    talk.say(talk.core.receive('004F004B', { from, stamp: '27/01/10,02:14:00+04' }))
    expect(talk.told).toEqual([
      {
        kind: 'text',
        round: 1,
        text: { from: '+447700900101', text: 'OK', at: Date.UTC(2027, 0, 10, 1, 14), places: [1] },
      },
    ])
  })

  it('tells of a delivery on one line', () => {
    const talk = new Talk()
    talk.core.knowsUnits = false
    talk.begin().send()
    talk.say('\r\n+CDS: 6,1,"+447700900101",145,"27/01/10,02:14:00+00","27/01/10,02:14:05+00",0\r\n')
    expect(talk.told.at(-1)).toMatchObject({ kind: 'receipt', receipt: { call: 1001, outcome: 'delivered' } })
  })

  it('is of no use without UCS-2, and says so', () => {
    const talk = new Talk()
    talk.core.knowsUnits = false
    talk.core.twists.push(refusing(/^AT\+CSCS/, 'ERROR'))
    talk.begin().pass(minutes(2))
    expect(talk.troubles()).toEqual(['the modem takes texts neither as data units nor in UCS-2'])
  })
})

describe('a refusal', () => {
  it.each([
    ['+CMS ERROR: 331', 'temporary: the modem did not send it: no network (331)'],
    ['+CMS ERROR: 42', 'temporary: the modem did not send it: the network is congested (42)'],
    ['+CMS ERROR: 322', 'temporary: the modem did not send it: memory full (322)'],
    ['+CMS ERROR: 28', 'permanent: the modem did not send it: the number is unknown (28)'],
    [
      '+CMS ERROR: 330',
      'permanent: the modem did not send it: the service centre is not set on the SIM card (330)',
    ],
    ['+CMS ERROR: 512', 'temporary: the modem did not send it: error 512'],
    ['+CMS ERROR: SIM busy', 'temporary: the modem did not send it: SIM busy'],
    ['+CME ERROR: 30', 'temporary: the modem did not send it: no network (30)'],
    ['ERROR', 'temporary: the modem did not send it: ERROR'],
  ])('after the text: %s (3GPP TS 27.005, 3.2.5)', (answer, outcome) => {
    const talk = new Talk().begin()
    talk.core.twists.push(refusing(/^text$/, answer, 1))
    expect(talk.outcome(talk.send())).toBe(outcome)
    expect(talk.outcome(talk.send())).toMatch(/^accepted/)
  })

  it('instead of the prompt: no text is written', () => {
    const talk = new Talk().begin()
    talk.core.twists.push(refusing(/^AT\+CMGS/, '+CMS ERROR: 304', 1))
    expect(talk.outcome(talk.send())).toBe('permanent: the modem did not send it: invalid data unit (304)')
    expect(talk.core.sent).toEqual([])
    expect(talk.core.commands.filter((line) => line.startsWith('00'))).toEqual([])
  })

  it('of the second piece of a long text is a refusal of the text', () => {
    const talk = new Talk().begin()
    let texts = 0
    talk.core.twists.push((line) => (line === 'text' && ++texts === 2 ? '\r\n+CMS ERROR: 41\r\n' : undefined))
    expect(talk.outcome(talk.send('a'.repeat(300)))).toMatch(/^temporary: .*passes \(41\)/)
  })

  it('of a setting that can be done without does not matter', () => {
    const talk = new Talk()
    talk.core.twists.push(refusing(/^AT\+(CNMI|CPMS|CSMS|CMEE|CSQ|CMGL)|^ATE0/, 'ERROR'))
    expect(talk.begin().session.health()).toEqual({ kind: 'ready', signal: null, isRoaming: false })
    expect(talk.outcome(talk.send())).toMatch(/^accepted/)
  })

  it('of receipts that come by themselves leads to stored ones, then to none (3GPP TS 27.005, 3.4.1)', () => {
    const talk = new Talk()
    talk.core.twists.push(refusing(/^AT\+CNMI=2,1,0,[12]/, '+CMS ERROR: 303'))
    talk.begin()
    expect(talk.core.commands.filter((line) => line.startsWith('AT+CNMI'))).toEqual([
      ...['AT+CNMI=2,1,0,1,0', 'AT+CNMI=2,1,0,2,0', 'AT+CNMI=2,1,0,0,0'],
    ])
  })
})

describe('silence', () => {
  it('after a text leaves in doubt whether it was sent: the call-out decides, the modem is set up anew', () => {
    const talk = new Talk().begin()
    talk.core.twists.push(silentTo(/^text$/, 1))
    const attempt = talk.send()
    talk.pass(seconds(44))
    expect(talk.outcome(attempt)).toBeNull()
    talk.pass(seconds(3))
    expect(talk.outcome(attempt)).toBe(
      'temporary: the modem does not answer AT+CMGS; it may have been sent all the same',
    )
    expect(talk.session.health().kind).toBe('ready')
    expect(talk.outcome(talk.send())).toMatch(/^accepted/)
    expect(talk.core.sent).toHaveLength(1)
  })

  it('instead of the prompt: the same text is sent once the modem answers again, once', () => {
    const talk = new Talk().begin()
    talk.core.twists.push(silentTo(/^AT\+CMGS/, 1))
    const attempt = talk.send()
    talk.pass(seconds(60))
    expect(talk.outcome(attempt)).toMatch(/^accepted/)
    expect(talk.core.sent).toHaveLength(1)
  })

  it('because the prompt was lost: the text is called off before anything else is asked', () => {
    const talk = new Talk().begin()
    let isLost = false
    talk.chop = (text) => {
      if (isLost || !text.includes('> ')) return [text]
      isLost = true
      return []
    }
    const attempt = talk.send()
    talk.pass(seconds(60))
    expect(talk.outcome(attempt)).toMatch(/^accepted/)
    expect(talk.core.sent).toEqual([expect.stringMatching(/^0031000C91[0-9A-F]+$/)])
    expect(talk.told.filter(({ kind }) => kind === 'reopen')).toEqual([])
  })

  it('is followed by a second in which nothing is asked: what comes late then belongs to nothing', () => {
    const talk = new Talk().begin()
    talk.core.twists.push(silentTo(/^text$/, 1))
    talk.send()
    const asked = talk.core.commands.length
    talk.pass(seconds(45)).pass(milliseconds(900))
    expect(talk.core.commands).toHaveLength(asked)
    talk.pass(milliseconds(100))
    expect(talk.core.commands.length).toBeGreaterThan(asked)
  })

  it('twice instead of the prompt: the call-out hears of it, and that it was not sent', () => {
    const talk = new Talk().begin()
    talk.core.twists.push(silentTo(/^AT\+CMGS/, 2))
    const attempt = talk.send()
    talk.pass(seconds(120))
    expect(talk.outcome(attempt)).toBe('temporary: the modem does not answer AT+CMGS')
    expect(talk.core.sent).toEqual([])
  })

  it('to everything: the line is opened anew, and after a minute it is trouble; what waits is answered', () => {
    const talk = new Talk()
    talk.core.twists.push(silentTo(/./))
    talk.plug()
    const attempt = talk.send()
    talk.pass(seconds(30))
    expect(talk.told).toEqual([{ kind: 'reopen' }])
    talk.pass(seconds(30))
    expect(talk.troubles()).toEqual(['the modem does not answer AT'])
    expect(talk.outcome(attempt)).toBe('temporary: the modem does not answer AT')
    // In trouble nothing waits.
    expect(talk.outcome(talk.send())).toBe('temporary: the modem does not answer AT')
    talk.core.twists.length = 0
    talk.begin()
    expect(talk.troubles().at(-1)).toBeNull()
    expect(talk.outcome(talk.send())).toMatch(/^accepted/)
  })

  it('to the first greetings is sleep', () => {
    const talk = new Talk()
    talk.core.twists.push(silentTo(/^AT$/, 2))
    talk.plug().pass(seconds(6))
    expect(talk.session.health().kind).toBe('ready')
  })

  it('is called off with ESC before anything else: a modem left in the middle of a text sends none', () => {
    const talk = new Talk()
    talk.core.hear('AT+CMGS=39\r0031000C91')
    talk.begin()
    expect(talk.session.health().kind).toBe('ready')
    expect(talk.core.sent).toEqual([])
  })

  it('that ends late is no answer to the next command', () => {
    const talk = new Talk().begin()
    talk.core.twists.push(silentTo(/^text$/, 1))
    const late = talk.send()
    talk.pass(seconds(45))
    expect(talk.outcome(late)).toMatch(/^temporary/)
    const next = talk.send('next')
    talk.say('\r\n+CMGS: 9\r\n\r\nOK\r\n')
    talk.pass(seconds(2))
    expect(talk.outcome(next)).toBe('accepted: the network took it, reference 1')
  })
})

describe('a modem pulled out', () => {
  it('before it has the text: the text goes when it is plugged in again', () => {
    const talk = new Talk().begin()
    talk.core.twists.push(silentTo(/^AT\+CMGS/, 1))
    const attempt = talk.send()
    talk.unplug()
    expect(talk.outcome(attempt)).toBeNull()
    talk.core.reset()
    talk.begin()
    expect(talk.outcome(attempt)).toMatch(/^accepted/)
    expect(talk.core.sent).toHaveLength(1)
  })

  it('after it has the text: it may have been sent', () => {
    const talk = new Talk().begin()
    talk.core.twists.push(silentTo(/^text$/, 1))
    const attempt = talk.send()
    talk.unplug()
    expect(talk.outcome(attempt)).toBe('temporary: the modem is gone; it may have been sent all the same')
  })

  it('for a minute is trouble, told once; back again it is over', () => {
    const talk = new Talk().begin()
    talk.unplug().pass(seconds(59))
    expect(talk.troubles()).toEqual([])
    talk.pass(minutes(5))
    expect(talk.troubles()).toEqual(['the modem is gone'])
    talk.begin()
    expect(talk.troubles()).toEqual(['the modem is gone', null])
  })

  it('at any point of its setting up is set up again', () => {
    const whole = new Talk().begin().core.commands.length
    expect(whole).toBeGreaterThan(10)
    for (let count = 1; count <= whole; count++) {
      const talk = new Talk()
      let heard = 0
      talk.core.twists.push(() => (++heard === count ? null : undefined))
      talk.plug().pass(seconds(1))
      talk.unplug()
      talk.core.reset()
      talk.begin()
      expect(talk.outcome(talk.send()), `pulled out at command ${count}`).toMatch(/^accepted/)
    }
  })
})

describe('a SIM card', () => {
  const locked = (change: object = {}, options: ConstructorParameters<typeof Talk>[0] = { pin: '4711' }) => {
    const talk = new Talk(options)
    Object.assign(talk.core.card, { pin: '4711', ...change })
    return talk.begin()
  }
  const pinsTried = (talk: Talk) => talk.core.commands.filter((line) => line.startsWith('AT+CPIN=')).length

  it('is opened with its PIN', () => {
    const talk = locked()
    expect(talk.session.health().kind).toBe('ready')
    expect(pinsTried(talk)).toBe(1)
  })

  it('that was opened by hand needs none', () => {
    const talk = new Talk({ pin: '0000' })
    expect(talk.begin().session.health().kind).toBe('ready')
    expect(pinsTried(talk)).toBe(0)
  })

  it('that refuses it is asked once and never again, through resets and hours: three wrong ones lock it', () => {
    const talk = locked({}, { pin: '0000' })
    talk.core.knowsTries = false
    expect(talk.told).toEqual([
      { kind: 'pin-refused' },
      { kind: 'trouble', why: expect.stringMatching(/refuses the PIN.*three wrong ones lock the card/) },
    ])
    talk.pass(minutes(120)).unplug()
    talk.core.reset()
    talk.begin().pass(minutes(120))
    expect(pinsTried(talk)).toBe(1)
    expect(talk.core.card.triesLeft).toBe(2)
    expect(talk.outcome(talk.send())).toMatch(/^permanent: .*SIM card refused this PIN/)
  })

  it('that refused it before a restart is not asked', () => {
    const talk = locked({}, { pin: '0000', isPinRefused: true })
    expect(pinsTried(talk)).toBe(0)
    expect(talk.troubles()).toEqual([expect.stringMatching(/refused this PIN/)])
  })

  it('that has borne a wrong PIN already is left to a person', () => {
    const talk = locked({ triesLeft: 2 })
    expect(pinsTried(talk)).toBe(0)
    expect(talk.troubles()).toEqual(['the SIM card has 2 of 3 tries left: enter its PIN by hand once'])
    talk.core.isUnlocked = true
    talk.pass(minutes(1))
    expect(talk.troubles().at(-1)).toBeNull()
  })

  it.each([
    ['refuses with a bare ERROR', 'ERROR', 1],
    ['is busy: it has not looked at the PIN, which is tried again', '+CME ERROR: 14', 2],
  ])('that %s', (_what, answer, tries) => {
    const talk = new Talk({ pin: '4711' })
    Object.assign(talk.core.card, { pin: '4711' })
    talk.core.twists.push(refusing(/^AT\+CPIN="/, answer, 1))
    talk.begin().pass(minutes(2))
    expect(pinsTried(talk)).toBe(tries)
  })

  it.each([
    ['and it still asks for it: not again', false, 1],
    ['but which says that it has borne no wrong one: it is tried again', true, 3],
  ])('whose answer to the PIN is lost, %s', (_what, knowsTries, tries) => {
    const talk = new Talk({ pin: '4711' })
    Object.assign(talk.core.card, { pin: '4711' })
    talk.core.knowsTries = knowsTries
    talk.core.twists.push(silentTo(/^AT\+CPIN="/, 2))
    talk.begin().pass(seconds(10))
    talk.unplug().begin().pass(minutes(10))
    expect(pinsTried(talk)).toBe(tries)
    expect(talk.session.health().kind).toBe(knowsTries ? 'ready' : 'locked')
  })

  it('that took its PIN without saying so is open, and its PIN no wrong one', () => {
    const talk = new Talk({ pin: '4711' })
    Object.assign(talk.core.card, { pin: '4711' })
    talk.core.knowsTries = false
    talk.core.twists.push((line) => {
      if (!line.startsWith('AT+CPIN="')) return undefined
      talk.core.isUnlocked = true
      return null
    })
    talk.begin().pass(minutes(1))
    expect(talk.session.health().kind).toBe('ready')
    expect(talk.told).toEqual([])
  })

  it('that is read for some seconds after its PIN is waited for', () => {
    const talk = new Talk({ pin: '4711' })
    Object.assign(talk.core.card, { pin: '4711' })
    let asked = 0
    talk.core.twists.push((line) =>
      line === 'AT+CPIN?' && ++asked > 1 && asked < 5 ? '\r\n+CME ERROR: 14\r\n' : undefined,
    )
    talk.begin().pass(seconds(4))
    expect(talk.session.health().kind).toBe('ready')
    expect(pinsTried(talk)).toBe(1)
  })

  it.each([
    ['asks for its PUK', { triesLeft: 0 }, 'the SIM card is locked: it asks for SIM PUK'],
    ['is missing', { isPresent: false }, 'there is no SIM card in the modem'],
  ])('that %s needs a person: told at once', (_what, change, why) => {
    const talk = locked(change)
    expect(talk.troubles()).toEqual([why])
    expect(pinsTried(talk)).toBe(0)
  })

  it('whose PIN the configuration lacks, or is none', () => {
    expect(locked({}, {}).troubles()).toEqual([
      'the SIM card asks for its PIN, and the configuration has none',
    ])
    expect(locked({}, { pin: '12"' }).troubles()).toEqual([
      'the PIN of the configuration is not four to eight digits',
    ])
  })

  it('never has its PIN or a number in anything that is told', () => {
    const talk = new Talk({ pin: '4711' })
    Object.assign(talk.core.card, { pin: '4711' })
    talk.core.twists.push(silentTo(/^AT\+CPIN="|^AT\+CMGS/))
    talk.begin().send()
    talk.pass(minutes(5))
    talk.unplug()
    expect(JSON.stringify(talk.told)).not.toMatch(/4711|7700|900101/)
  })
})

describe('no network', () => {
  it('is waited for; after a minute it is trouble, with the signal', () => {
    const talk = new Talk()
    Object.assign(talk.core, { registration: 2, signal: 0 })
    talk.begin()
    const attempt = talk.send()
    talk.pass(seconds(30))
    expect(talk.troubles()).toEqual([])
    talk.core.registration = 1
    talk.pass(seconds(5))
    expect(talk.outcome(attempt)).toMatch(/^accepted/)
    talk.core.registration = 2
    talk.pass(minutes(3))
    expect(talk.troubles()).toEqual(['the modem finds no network (signal -113 dBm)'])
  })

  it('because the card is denied says so (<stat> 3)', () => {
    const talk = new Talk()
    talk.core.registration = 3
    talk.begin().pass(minutes(2))
    expect(talk.troubles()).toEqual(['the network denies this SIM card (signal -79 dBm)'])
  })

  it('for ten minutes: the modem is reset, every ten minutes (+CFUN, 3GPP TS 27.007, 8.2)', () => {
    const talk = new Talk()
    talk.core.registration = 2
    talk.begin().pass(minutes(9))
    expect(talk.core.resets).toBe(0)
    talk.pass(minutes(2))
    expect(talk.core.resets).toBe(1)
    talk.pass(minutes(8))
    expect(talk.core.resets).toBe(1)
    talk.pass(minutes(2))
    expect(talk.core.resets).toBe(2)
    talk.core.registration = 1
    talk.pass(minutes(1))
    expect(talk.session.health().kind).toBe('ready')
  })
})

describe('a text that comes in', () => {
  it('is handed over, and deleted from the card after that', () => {
    const talk = new Talk().begin()
    talk.say(talk.core.receive(okUnit))
    expect(talk.texts()).toEqual(['+447700900101: OK 47'])
    expect(talk.core.stored.size).toBe(1)
    talk.settle()
    expect(talk.core.stored.size).toBe(0)
  })

  it('while the daemon was away is found at the start', () => {
    const talk = new Talk()
    talk.core.receive(okUnit)
    expect(talk.begin().texts()).toEqual(['+447700900101: OK 47'])
  })

  it('without a notice is found within a minute', () => {
    const talk = new Talk().begin()
    talk.core.receive(okUnit)
    expect(talk.pass(minutes(1)).texts()).toEqual(['+447700900101: OK 47'])
  })

  it('that is in hand is not handed over twice, however long that takes', () => {
    const talk = new Talk().begin()
    talk.say(talk.core.receive(okUnit))
    expect(talk.pass(minutes(5)).texts()).toHaveLength(1)
  })

  it('that nobody takes stays, and is read again', () => {
    const talk = new Talk().begin()
    talk.say(talk.core.receive(okUnit))
    talk.settle(false)
    expect(talk.core.stored.size).toBe(1)
    expect(talk.pass(minutes(1)).texts()).toHaveLength(1)
  })

  it('that cannot be deleted is not handed over every minute', () => {
    const talk = new Talk().begin()
    talk.core.twists.push(refusing(/^AT\+CMGD/, '+CMS ERROR: 320'))
    talk.say(talk.core.receive(okUnit))
    talk.settle().pass(minutes(5))
    expect(talk.texts()).toEqual([])
  })

  it('of another card that lies where an old one lay is not deleted for it', () => {
    const talk = new Talk().begin()
    talk.say(talk.core.receive(okUnit))
    talk.unplug()
    talk.core.stored.clear()
    talk.core.receive(okUnit)
    const [old] = talk.told.filter(({ kind }) => kind === 'text')
    talk.begin()
    talk.told.splice(0)
    talk.told.push(...(old === undefined ? [] : [old]))
    talk.settle()
    expect(talk.core.stored.size).toBe(1)
  })

  it('in pieces is handed over when they are all there, in order, each once', () => {
    const talk = new Talk().begin()
    talk.say(talk.core.receive(piece(2)))
    talk.say(talk.core.receive(piece(2)))
    expect(talk.texts()).toEqual([])
    talk.say(talk.core.receive(piece(1)))
    expect(talk.texts()).toEqual(['+447700900101: Вада'])
    talk.settle()
    expect(talk.core.stored.size).toBe(0)
  })

  it('in pieces of which some never come is handed over after a day', () => {
    const talk = new Talk().begin()
    talk.say(talk.core.receive(piece(1)))
    expect(talk.pass(minutes(60 * 24)).texts()).toEqual([])
    expect(talk.pass(minutes(60)).texts()).toEqual(['+447700900101: Ва'])
  })

  it('that nobody can read is told and deleted, or the card would fill up', () => {
    const talk = new Talk().begin()
    talk.say(talk.core.receive('00FF'))
    expect(talk.told).toEqual([{ kind: 'unreadable', why: expect.any(String) }])
    expect(talk.core.stored.size).toBe(0)
  })

  it('leaves drafts and sent messages of the card alone', () => {
    const talk = new Talk()
    talk.core.stored.set(1, { place: 1, status: 2, body: okUnit })
    expect(talk.begin().texts()).toEqual([])
    expect(talk.core.stored.size).toBe(1)
  })

  it('finds room: a full card on which nothing is for us is cleared of what was read and sent', () => {
    const talk = new Talk()
    talk.core.room = 2
    talk.core.stored.set(1, { place: 1, status: 2, body: okUnit })
    talk.core.stored.set(2, { place: 2, status: 3, body: okUnit })
    talk.begin()
    expect(talk.core.stored.size).toBe(0)
    talk.say(talk.core.receive(okUnit))
    expect(talk.texts()).toHaveLength(1)
  })

  it('on a full card makes room by being handed over', () => {
    const talk = new Talk()
    talk.core.room = 2
    talk.core.receive(okUnit)
    talk.core.receive(okUnit)
    talk.begin().settle()
    expect(talk.core.stored.size).toBe(0)
    expect(talk.core.commands).not.toContain('AT+CMGD=1,3')
  })

  it('by itself, where a modem does not store it (+CMT)', () => {
    const talk = new Talk().begin()
    talk.say(`\r\n+CMT: ,24\r\n${okUnit}\r\n`)
    expect(talk.texts()).toEqual(['+447700900101: OK 47'])
  })
})

describe('a receipt', () => {
  it('says of a letter that it was delivered (+CDS)', () => {
    const talk = new Talk().begin()
    talk.send()
    talk.say(`\r\n+CDS: 25\r\n${receiptUnit(1)}\r\n`)
    expect(talk.told.at(-1)).toEqual({
      kind: 'receipt',
      receipt: { call: 1001, outcome: 'delivered', detail: 'the network says it was delivered' },
    })
  })

  it('or that the network has given up', () => {
    const talk = new Talk().begin()
    talk.send()
    talk.say(`\r\n+CDS: 25\r\n${receiptUnit(1, '46')}\r\n`)
    expect(talk.told.at(-1)).toMatchObject({ receipt: { call: 1001, outcome: 'permanent' } })
  })

  it('that the network still tries says nothing yet; of another number, or twice, nothing', () => {
    const talk = new Talk().begin()
    talk.send()
    const before = talk.told.length
    talk.say(`\r\n+CDS: 25\r\n${receiptUnit(1, '30')}\r\n`)
    talk.say(`\r\n+CDS: 25\r\n${receiptUnit(1).replace('091010', '092020')}\r\n`)
    expect(talk.told).toHaveLength(before)
    talk.say(`\r\n+CDS: 25\r\n${receiptUnit(1)}\r\n`)
    talk.say(`\r\n+CDS: 25\r\n${receiptUnit(1)}\r\n`)
    expect(talk.told).toHaveLength(before + 1)
  })

  it('of a long text counts when every piece is delivered', () => {
    const talk = new Talk().begin()
    talk.send('a'.repeat(300))
    talk.say(`\r\n+CDS: 25\r\n${receiptUnit(2)}\r\n`)
    expect(talk.told.filter(({ kind }) => kind === 'receipt')).toEqual([])
    talk.say(`\r\n+CDS: 25\r\n${receiptUnit(1)}\r\n`)
    expect(talk.told.filter(({ kind }) => kind === 'receipt')).toHaveLength(1)
  })

  it('of a reference that came round again is of the newer text', () => {
    const talk = new Talk().begin()
    talk.send()
    talk.core.reference = 0
    talk.send()
    talk.say(`\r\n+CDS: 25\r\n${receiptUnit(1)}\r\n`)
    expect(talk.told.at(-1)).toMatchObject({ receipt: { call: 1002 } })
  })

  it('that is stored is read and deleted (+CDSI)', () => {
    const talk = new Talk().begin()
    talk.send()
    talk.core.receive(receiptUnit(1))
    talk.say('\r\n+CDSI: "SM",1\r\n')
    expect(talk.told.at(-1)).toMatchObject({ kind: 'receipt', receipt: { call: 1001, outcome: 'delivered' } })
    expect(talk.core.stored.size).toBe(0)
  })
})
