/** In words for a keeper what kept us from the broker. Never holds a secret. */
export function explainError(error: unknown, address: string): string {
  const code = codeOf(error)
  const known =
    typeof code === 'number'
      ? connackWords.get(code)
      : typeof code === 'string'
        ? wordsOfCode(code)
        : undefined
  if (known !== undefined) return `${known} (${address})`
  const message = error instanceof Error ? error.message : String(error)
  return `the broker at ${address} cannot be reached: ${message}`
}

const codeOf = (error: unknown): unknown =>
  typeof error === 'object' && error !== null && 'code' in error ? error.code : undefined

/** Return codes of CONNACK in MQTT 3.1.1 (table 3.1) and reason codes of MQTT 5.0 (table 3-1). */
const connackWords = new Map<number, string>([
  [1, 'the broker does not speak this version of MQTT'],
  [2, 'the broker does not accept our client id'],
  [3, 'the broker says that it is not available'],
  [4, 'the broker refuses our user name or password'],
  [5, 'the broker does not let us in: check user name and password'],
  [132, 'the broker does not speak this version of MQTT'],
  [133, 'the broker does not accept our client id'],
  [134, 'the broker refuses our user name or password'],
  [135, 'the broker does not let us in: check user name and password'],
  [136, 'the broker says that it is not available'],
  [137, 'the broker says that it is busy'],
  [138, 'the broker has banned us'],
  [142, 'another client has taken our session: is there a second daemon with the same client_id?'],
])

/** Node's codes of sockets and OpenSSL's of certificates. */
function wordsOfCode(code: string): string | undefined {
  if (untrusted.has(code))
    return 'the certificate of the broker is not trusted: give the certificate that signed it as ca_file'
  if (/^ERR_SSL_.*(?:CERTIFICATE_REQUIRED|HANDSHAKE_FAILURE|UNKNOWN_CA|BAD_CERTIFICATE)/.test(code)) {
    return 'the broker does not accept our certificate: check cert_file and key_file'
  }
  return words.get(code)
}

const untrusted = new Set([
  'DEPTH_ZERO_SELF_SIGNED_CERT',
  'SELF_SIGNED_CERT_IN_CHAIN',
  'UNABLE_TO_VERIFY_LEAF_SIGNATURE',
  'UNABLE_TO_GET_ISSUER_CERT_LOCALLY',
  'CERT_SIGNATURE_FAILURE',
])

const words = new Map<string, string>([
  ['ECONNREFUSED', 'no broker answers: is it running, is the port right?'],
  ['ENOTFOUND', 'there is no machine of that name'],
  ['EAI_AGAIN', 'the name of the broker cannot be looked up just now'],
  ['EHOSTUNREACH', 'there is no way to the broker through the network'],
  ['ENETUNREACH', 'there is no way to the broker through the network'],
  ['ETIMEDOUT', 'the broker does not answer'],
  ['ECONNRESET', 'the broker hung up: does it want TLS (mqtts), or a client certificate?'],
  ['CERT_HAS_EXPIRED', 'the certificate of the broker has expired'],
  ['CERT_NOT_YET_VALID', 'the certificate of the broker is not valid yet: is our clock right?'],
  ['ERR_TLS_CERT_ALTNAME_INVALID', 'the certificate of the broker is for another name than the one in url'],
  ['EPROTO', 'that port does not speak TLS: is it mqtt in place of mqtts?'],
  ['ERR_SSL_WRONG_VERSION_NUMBER', 'that port does not speak TLS: is it mqtt in place of mqtts?'],
  ['ERR_SSL_PACKET_LENGTH_TOO_LONG', 'that port does not speak TLS: is it mqtt in place of mqtts?'],
])
