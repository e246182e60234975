import type { Milliseconds } from '../units/time.js'

/** Every attempt ends within this, whatever the other side does (contract 3, `timeout`). */
export interface Limited {
  readonly name: string
  readonly within: Milliseconds
}

export interface EmailOptions extends Limited {
  readonly host: string
  readonly port: number
  /**
   * `tls` from the start (RFC 8314), `starttls` insisted on, `none`; `if_offered` takes TLS where there is some. With a
   * login and a server elsewhere `if_offered` insists too: a password never travels in the open.
   */
  readonly encryption: 'starttls' | 'tls' | 'if_offered' | 'none'
  /** `bellwater@example.org` or `Bellwater <bellwater@example.org>` */
  readonly from: string
  readonly login: { readonly username: string; readonly password: string } | null
  /** PEM of authorities to trust beside those of Node; null for none. */
  readonly authorities: string | null
}

/** When a gateway's answer means that it took the text. */
export interface AcceptanceRule {
  /** Both ends belong to it. */
  readonly status: readonly [from: number, to: number]
  /** What the body must say too, for gateways that answer 200 to everything. */
  readonly body:
    | { readonly kind: 'any' }
    /** The value at a JSON Pointer (RFC 6901), written as text, is one of these. */
    | { readonly kind: 'json'; readonly pointer: string; readonly is: readonly string[] }
    | { readonly kind: 'matches'; readonly pattern: string }
}

export interface GatewayOptions extends Limited {
  /** `{{to}}`, `{{text}}`, `{{id}}`, `{{subject}}` are filled in, URL-encoded; `{to}` and so on alike. */
  readonly url: string
  readonly method: 'GET' | 'POST' | 'PUT'
  readonly headers: Readonly<Record<string, string>>
  /** Filled in alike, escaped for the content type in `headers`: JSON, form or XML; others as they are. Null sends none. */
  readonly body: string | null
  readonly accepted: AcceptanceRule
}

export interface WebhookOptions extends Limited {
  readonly url: string
  /** Key of the HMAC; at least 16 characters. */
  readonly key: string
}

export interface OutboxFolderOptions extends Limited {
  readonly folder: string
  /** The newest so many are kept. */
  readonly keep: number
}

export interface SwitchOptions extends Limited {
  readonly topic: string
  readonly payloadOn: string
  readonly payloadOff: string
  readonly retain: boolean
}
