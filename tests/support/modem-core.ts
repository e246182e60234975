/**
 * A GSM modem as 3GPP TS 27.005 and 27.007 describe one, without a line: takes characters, gives characters. Shares no code
 * with the daemon; `gammu`, an independent client, is set on it in tests/channels/modem.integration.test.ts.
 */
export interface Stored {
  readonly place: number
  /** `<stat>`: 0 unread, 1 read, 2 draft, 3 sent. */
  readonly status: number
  /** The data unit, or the text in hexadecimal in text mode. */
  readonly body: string
  /** Number and time stamp as text mode shows them. */
  readonly textMode?: { readonly from: string; readonly stamp: string }
}

/** What a modem says to one command instead of its usual answer; null for silence. */
export type Twist = (line: string) => string | null | undefined

export interface Card {
  /** Null when no PIN is asked. */
  pin: string | null
  triesLeft: number
  isPresent: boolean
}

const end = '\r\n'
const said = (text: string): string => `${end}${text}${end}`
const ok = said('OK')

export class ModemCore {
  echo = true
  errorCodes = false
  format = 1
  characterSet = 'GSM'
  /** `<stat>` of +CREG and +CEREG. */
  registration = 1
  packetRegistration = 0
  signal = 17
  room = 20
  knowsUnits = true
  knowsTries = true
  card: Card = { pin: null, triesLeft: 3, isPresent: true }
  isUnlocked = false
  readonly stored = new Map<number, Stored>()
  /** Data units (or texts) that it was given to send. */
  readonly sent: string[] = []
  /** Every command line, in order. */
  readonly commands: string[] = []
  reference = 0
  resets = 0
  /** Asked first; the first that answers counts. */
  readonly twists: Twist[] = []
  #line = ''
  #awaitsText = false

  /** Takes what the other side writes; gives what the modem says to it. */
  hear(characters: string): string {
    let answer = ''
    for (const character of characters)
      answer += this.#awaitsText ? this.#textCharacter(character) : this.#character(character)
    return answer
  }

  /** A text comes in; what the modem says by itself. */
  receive(body: string, textMode?: Stored['textMode']): string {
    const place = Array.from({ length: this.room }, (_, index) => index + 1).find(
      (one) => !this.stored.has(one),
    )
    if (place === undefined) return ''
    this.stored.set(place, { place, status: 0, body, ...(textMode === undefined ? {} : { textMode }) })
    return said(`+CMTI: "SM",${place}`)
  }

  /** As when it is switched off and on: every setting is as it was made. */
  reset(): void {
    this.echo = true
    this.errorCodes = false
    this.format = 1
    this.characterSet = 'GSM'
    this.isUnlocked = false
    this.resets += 1
    this.#line = ''
    this.#awaitsText = false
  }

  #character(character: string): string {
    const echo = this.echo ? character : ''
    if (character === '\r') {
      const line = this.#line.trim()
      this.#line = ''
      return echo + (line === '' ? '' : this.#command(line))
    }
    // Control characters do nothing in a command line (ITU-T V.250, 5.2.2).
    if (character >= ' ') this.#line += character
    return echo
  }

  #textCharacter(character: string): string {
    const echo = this.echo ? character : ''
    if (character === '\x1b') {
      this.#awaitsText = false
      this.#line = ''
      return echo + ok
    }
    if (character !== '\x1a') {
      this.#line += character
      return echo
    }
    this.#awaitsText = false
    const text = this.#line
    this.#line = ''
    const twisted = this.#twisted('text')
    if (twisted !== undefined) return echo + (twisted ?? '')
    this.sent.push(text)
    this.reference = (this.reference + 1) % 256
    return echo + said(`+CMGS: ${this.reference}`) + ok
  }

  #command(line: string): string {
    this.commands.push(line)
    const twisted = this.#twisted(line)
    if (twisted !== undefined) return twisted ?? ''
    if (!/^AT/i.test(line)) return this.#refusal('E', 3)
    return this.#basic(line) ?? this.#ofTheCard(line) ?? this.#ofMessages(line) ?? ok
  }

  #twisted(line: string): string | null | undefined {
    for (const twist of this.twists) {
      const answer = twist(line)
      if (answer !== undefined) return answer
    }
    return undefined
  }

  #refusal(letter: 'E' | 'S', code: number): string {
    return letter === 'E' && !this.errorCodes ? said('ERROR') : said(`+CM${letter} ERROR: ${code}`)
  }

  #basic(line: string): string | undefined {
    const [, echo] = /^ATE([01])/.exec(line) ?? []
    if (echo !== undefined) this.echo = echo === '1'
    if (line.startsWith('AT+CMEE=')) this.errorCodes = !line.endsWith('=0')
    if (line === 'AT+CFUN=1,1') {
      this.reset()
      return ok
    }
    const told: Readonly<Record<string, string>> = {
      'AT+CGMI': 'Practice',
      'AT+CGMM': 'Double',
      'AT+CGMR': '1',
      'AT+CGSN': '490154203237518',
      'AT+CIMI': '001010123456789',
      'AT+CSCA?': '+CSCA: "+447700900000",145',
      'AT+CSCS?': `+CSCS: "${this.characterSet}"`,
      'AT+CSCS=?': '+CSCS: ("GSM","IRA","UCS2")',
      'AT+CSQ': `+CSQ: ${this.signal},99`,
      'AT+CREG?': `+CREG: 0,${this.registration}`,
      'AT+CEREG?': `+CEREG: 0,${this.packetRegistration}`,
      'AT+CSMS=0': '+CSMS: 1,1,1',
    }
    const what = told[line]
    if (what !== undefined) return said(what) + ok
    const [, set] = /^AT\+CSCS="([^"]+)"/.exec(line) ?? []
    if (set !== undefined) this.characterSet = set
    return undefined
  }

  #ofTheCard(line: string): string | undefined {
    const { card } = this
    const isOpen = card.pin === null || this.isUnlocked
    if (line.startsWith('AT+CP') || line.startsWith('AT+CM')) {
      if (!card.isPresent) return line.startsWith('AT+CMEE') ? undefined : this.#refusal('E', 10)
    }
    if (line === 'AT+CPIN?') {
      const state = isOpen ? 'READY' : card.triesLeft > 0 ? 'SIM PIN' : 'SIM PUK'
      return said(`+CPIN: ${state}`) + ok
    }
    if (line.startsWith('AT+CPINR')) {
      return this.knowsTries ? said(`+CPINR: SIM PIN,${card.triesLeft},3`) + ok : this.#refusal('E', 4)
    }
    const [, pin] = /^AT\+CPIN="(\d+)"/.exec(line) ?? []
    if (pin !== undefined) {
      if (pin === card.pin && card.triesLeft > 0) {
        this.isUnlocked = true
        card.triesLeft = 3
        return ok
      }
      card.triesLeft = Math.max(0, card.triesLeft - 1)
      return this.#refusal('E', 16)
    }
    return !isOpen && /^AT\+C(PMS|NMI|MG[LSDR])/.test(line) ? said('+CMS ERROR: 311') : undefined
  }

  #ofMessages(line: string): string | undefined {
    if (line === 'AT+CMGF=0') {
      if (!this.knowsUnits) return this.#refusal('S', 303)
      this.format = 0
      return ok
    }
    if (line === 'AT+CMGF=1') this.format = 1
    if (line.startsWith('AT+CPMS')) {
      const counted = `${this.stored.size},${this.room}`
      return said(`+CPMS: ${counted},${counted},${counted}`) + ok
    }
    if (line.startsWith('AT+CMGL')) return this.#list() + ok
    if (line === 'AT+CMGD=1,3') {
      for (const [place, { status }] of this.stored) if (status !== 0) this.stored.delete(place)
      return ok
    }
    const [, place] = /^AT\+CMGD=(\d+)$/.exec(line) ?? []
    if (place !== undefined) return this.stored.delete(Number(place)) ? ok : said('+CMS ERROR: 321')
    if (!line.startsWith('AT+CMGS=')) return undefined
    this.#awaitsText = true
    return `${end}> `
  }

  #list(): string {
    let list = ''
    for (const one of [...this.stored.values()].toSorted((left, right) => left.place - right.place)) {
      const { place, status, body, textMode } = one
      const words = ['REC UNREAD', 'REC READ', 'STO UNSENT', 'STO SENT'][status] ?? ''
      const header =
        this.format === 0
          ? `+CMGL: ${place},${status},,${body.length / 2 - 1 - parseInt(body.slice(0, 2), 16)}`
          : `+CMGL: ${place},"${words}","${textMode?.from ?? ''}",,"${textMode?.stamp ?? ''}"`
      list += `${end}${header}${end}${body}${end}`
      this.stored.set(place, { ...one, status: status === 0 ? 1 : status })
    }
    return list
  }
}
