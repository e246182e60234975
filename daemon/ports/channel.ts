/** What a channel is handed: everything written out, nothing left to decide. */
export interface Letter {
  /** Id of the call; the same letter sent again carries the same id. */
  readonly id: number
  readonly address: string
  readonly person: string
  readonly language: string
  /** One short text (contract 6). */
  readonly text: string
  /** The same with more room, for mail and page. */
  readonly subject: string
  readonly body: string
  /** A link that answers this occurrence; null when the farm has no public address. */
  readonly link: string | null
  readonly test: boolean
}

export type Sent =
  | { readonly kind: 'accepted'; readonly detail: string }
  | { readonly kind: 'delivered'; readonly detail: string }
  /** Worth trying again. */
  | { readonly kind: 'temporary'; readonly detail: string }
  | { readonly kind: 'permanent'; readonly detail: string }

/** One way to reach a person. `send` never throws: what went wrong is an outcome. It answers within its own time limit. */
export interface Channel {
  readonly name: string
  send(letter: Letter): Promise<Sent>
  close(): Promise<void>
}

/** A siren, a lamp: something that is on or off. */
export interface Switch {
  readonly name: string
  set(on: boolean): Promise<Sent>
  close(): Promise<void>
}
