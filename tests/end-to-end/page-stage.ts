import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core'
import { build } from 'vite'
import { openServer, type Server } from '../../daemon/http/server.js'
import type { WebOptions } from '../../daemon/http/options.js'
import type { Member } from '../../daemon/http/access/session.js'
import type { Stage } from '../../daemon/http/contract.js'
import { silentLog } from '../../daemon/ports/log.js'
import type { Snapshot } from '../../daemon/ports/door.js'
import { days } from '../../daemon/units/time.js'
import { FakeClock } from '../support/fake-clock.js'
import { fakeDoor, fakeHistory, fakePast, type FakeDoor, type Recorded } from '../support/fake-watch.js'
import { larkfieldPlan, nightTime } from '../support/web-farm.js'

const browserPath = '/usr/bin/chromium'
const browserArguments = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

export const launch = (): Promise<Browser> =>
  chromium.launch({ executablePath: browserPath, args: browserArguments })

/** The page as `npm run build` makes it, in a folder of its own. */
export async function buildPage(): Promise<{ readonly folder: string; remove(): void }> {
  const folder = mkdtempSync(join(tmpdir(), 'bellwater-page-'))
  await build({ configFile: 'dashboards/vite.config.ts', logLevel: 'warn', build: { outDir: folder } })
  return { folder, remove: () => rmSync(folder, { recursive: true, force: true }) }
}

export interface FarmOnPage {
  readonly url: string
  readonly door: FakeDoor
  readonly clock: FakeClock
  /** Ends the server as a crash or an unplugged cable would look to the page. */
  stop(): Promise<void>
  /** Starts it again on the same port. */
  start(): Promise<void>
}

/** A real server with a farm that stands still, to look at in a real browser. */
export async function openFarm(scene: {
  readonly pageFolder: string
  readonly snapshot: Snapshot
  readonly recorded?: Recorded
  readonly stage?: Stage
  readonly options?: Partial<WebOptions>
  readonly members?: readonly Member[]
}): Promise<FarmOnPage> {
  const clock = new FakeClock(nightTime)
  const door = fakeDoor(clock, scene.snapshot)
  let port = 0
  let server: Server | null = null
  const start = async () => {
    server = await openServer({
      options: {
        listen: { host: '127.0.0.1', port },
        publicUrl: null,
        lookWithoutLogin: true,
        actWithoutLogin: true,
        sessionLasts: days(30),
        key: new Uint8Array(32).fill(7),
        pageFolder: scene.pageFolder,
        ...scene.options,
      },
      door,
      history: fakeHistory(scene.recorded),
      past: fakePast,
      access: { member: (id) => scene.members?.find((member) => member.id === id) ?? null },
      clock,
      log: silentLog,
      plan: () => larkfieldPlan,
      stage: () => scene.stage ?? null,
      unready: () => [],
    })
    port = Number(new URL(server.url).port)
  }
  await start()
  return {
    get url() {
      return `http://127.0.0.1:${port}/`
    },
    door,
    clock,
    start,
    stop: async () => server?.close(),
  }
}

export interface Look {
  readonly width: number
  readonly height: number
  readonly scheme: 'dark' | 'light'
}

export const phone: Look = { width: 390, height: 844, scheme: 'dark' }

/** A fresh visitor. What the browser complains about is an error of the page and fails the test that asks. */
export async function visit(
  browser: Browser,
  url: string,
  look: Look = phone,
): Promise<{ readonly page: Page; readonly context: BrowserContext; readonly complaints: string[] }> {
  const context = await browser.newContext({
    viewport: { width: look.width, height: look.height },
    colorScheme: look.scheme,
    locale: 'en-GB',
    hasTouch: look.width < 700,
  })
  const page = await context.newPage()
  const complaints: string[] = []
  page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()))
  page.on('pageerror', (error) => complaints.push(String(error)))
  await page.goto(url)
  // Past "Opening the log": either the farm or the question who one is.
  await page.locator('#verdict, form').first().waitFor()
  return { page, context, complaints }
}

/** A day of oxygen with a gap of an hour and a half, as the history would give it, and the calls of the outage. */
export function dayOfOxygen(): Recorded & Required<Pick<Recorded, 'samples' | 'calls'>> {
  const from = nightTime - days(1)
  const samples = Array.from({ length: 288 }, (_, index) => {
    const at = from + index * 300_000
    const hour = index / 12
    const value = 6.9 + 0.5 * Math.sin((hour / 24) * 2 * Math.PI) - (index > 282 ? (index - 282) * 0.55 : 0)
    return { at: at as typeof nightTime, value, quality: 'good' as const }
  }).filter((_, index) => index < 130 || index > 148)
  const call = (id: number, minute: number, outcome: string | null, detail: string | null = null) => ({
    id,
    at: (nightTime - minute * 60_000) as typeof nightTime,
    channel: id === 3 ? 'email' : 'text',
    to: id === 1 ? 'first-keeper' : 'second-keeper',
    doc: {
      text: 'CRITICAL Larkfield Blower A: stopped since 02:10. Tank 1 oxygen 3.8 (limit 4.5 mg/L), falling, about 24 min to 2.0. Reply OK 47',
      alarm: 'equipment-fault@blower-a',
      number: 47,
    },
    outcome,
    outcomeAt: nightTime,
    detail,
  })
  return {
    samples,
    calls: [call(1, 2, 'delivered'), call(2, 1, 'permanent', 'the modem has no network'), call(3, 0.5, null)],
  }
}
