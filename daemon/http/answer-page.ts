import { createHash } from 'node:crypto'

/** A page that needs no script: it must work in whatever a text opens it in. */
export interface AnswerPage {
  readonly title: string
  /** Sentences, the first one large. */
  readonly says: readonly string[]
  /** Words of the button; null when there is nothing to press. */
  readonly button: string | null
}

const style = `
:root{color-scheme:dark light;--night:#0b1316;--paper:#ece5d6;--faint:#9fb0b0;--lamp:#f2b84b}
@media (prefers-color-scheme:light){:root{--night:#f6f1e6;--paper:#16221f;--faint:#4c5c5b;--lamp:#8a5200}}
body{margin:0;background:var(--night);color:var(--paper);font:1.125rem/1.5 system-ui,sans-serif}
main{max-width:34rem;margin:0 auto;padding:3rem 1.25rem}
.farm{color:var(--faint);margin:0 0 1rem}
h1{font:400 1.9rem/1.25 "Iowan Old Style","Palatino Linotype",Palatino,Georgia,serif;margin:0 0 1rem}
button{width:100%;min-height:4rem;margin-top:2rem;border:0;border-radius:.5rem;background:var(--lamp);color:var(--night);font:600 1.25rem system-ui,sans-serif}
button:focus-visible{outline:3px solid var(--paper);outline-offset:3px}
`

/** The policy that lets exactly this style in and no script at all. */
export const answerPagePolicy = [
  "default-src 'none'",
  `style-src 'sha256-${createHash('sha256').update(style).digest('base64')}'`,
  "form-action 'self'",
  "base-uri 'none'",
  "frame-ancestors 'none'",
].join('; ')

/** The form posts to its own address, so it works under any path of a reverse proxy. */
export function answerPageText(farm: string, { title, says, button }: AnswerPage): string {
  const [first = title, ...others] = says
  const form =
    button === null ? '' : `<form method="post"><button type="submit">${escaped(button)}</button></form>`
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="robots" content="noindex"><title>${escaped(title)}</title><style>${style}</style></head>
<body><main><p class="farm">${escaped(farm)}</p><h1>${escaped(first)}</h1>
${others.map((sentence) => `<p>${escaped(sentence)}</p>`).join('\n')}
${form}</main></body></html>
`
}

const escaped = (text: string): string => text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`)
