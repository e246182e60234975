import { existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { hashPassword } from '../../daemon/http/access/password.js'
import { seconds } from '../../daemon/units/time.js'
import { calmNight, outage } from '../support/web-farm.js'
import {
  buildPage,
  dayOfOxygen,
  launch,
  openFarm,
  phone,
  visit,
  type FarmOnPage,
  type Look,
} from './page-stage.js'

// The real page in a real browser against the real server; only the watch behind it stands still.

const pictures = 'tests/artefacts'
let browser: Browser
let built: { readonly folder: string; remove(): void }
let farm: FarmOnPage | null = null

beforeAll(async () => {
  mkdirSync(pictures, { recursive: true })
  built = await buildPage()
  browser = await launch()
})
afterAll(async () => {
  await browser.close()
  built.remove()
})
afterEach(async () => {
  for (const context of browser.contexts()) await context.close()
  await farm?.stop()
  farm = null
})

async function open(snapshot = outage, look: Look = phone) {
  const recorded = snapshot === outage ? dayOfOxygen() : { samples: dayOfOxygen().samples }
  farm = await openFarm({ pageFolder: built.folder, snapshot, recorded })
  return { farm, ...(await visit(browser, farm.url, look)) }
}

const headline = (page: Page) => page.getByRole('heading', { level: 1 })

describe('the page', () => {
  it('carries less than 100 kB of script, gzipped, and nothing inline', () => {
    const assets = join(built.folder, 'assets')
    const scripts = readdirSync(assets).filter((name) => name.endsWith('.js'))
    expect(scripts.length).toBeGreaterThan(0)
    const sizes = scripts.map((name) => gzipSync(readFileSync(join(assets, name))).length)
    expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(100_000)
    expect(readFileSync(join(built.folder, 'index.html'), 'utf8')).not.toMatch(/<style|<script>| style=/)
    for (const name of scripts) expect(existsSync(join(assets, `${name}.br`))).toBe(true)
  })

  it('says that all is well, since when, and shows each value with unit, age and quality', async () => {
    const { page, complaints } = await open(calmNight)
    expect(await headline(page).textContent()).toBe('All well since yesterday 21:40.')
    const tank = page.getByRole('article').filter({ has: page.getByRole('heading', { name: /^Tank 1/ }) })
    const oxygen =
      (await tank
        .getByRole('button', { name: /^Oxygen\b/ })
        .first()
        .textContent()) ?? ''
    expect(oxygen).toMatch(/6\.9.*mg\/L.*inside its limit 4\.5.mg\/L.*\d+.s ago, good/)
    expect(await page.getByText('Nobody was called in the last 24 hours.').count()).toBe(1)
    expect(await page.getByRole('button', { name: /acknowledge/i }).count()).toBe(0)
    expect(complaints).toEqual([])
  })

  it('shows an outage worst first, with what to do, doubtful values marked in words, and the calls made', async () => {
    const { page, complaints } = await open()
    expect(await headline(page).textContent()).toMatch(
      /^Blower A stopped 4.min ago; tank 1 oxygen 3\.8.mg\/L, falling\.$/,
    )
    const alarms = await page
      .getByRole('region', { name: 'Needs somebody' })
      .getByRole('listitem')
      .allTextContents()
    expect(alarms.map((text) => /critical|high/i.exec(text)?.[0])).toEqual(['critical', 'high'])
    expect(alarms[0]).toContain('Start the spare air pump')
    const page1 = (await page.locator('main').textContent()) ?? ''
    for (const said of [
      'not heard for 12',
      'uncertain: no calibration for 40 days',
      'bad: outside the plausible range',
      'below its limit',
      'Heater: not known',
      'Second keeper, text',
      'the modem has no network',
      'heater being descaled; Second keeper, until 03:00',
    ]) {
      expect(page1).toContain(said)
    }
    const counts = await page.getByRole('region', { name: 'Held back' }).locator('dl').textContent()
    expect(counts).toBe('1shelved0suppressed by design0out of service1not heard')
    expect(complaints).toEqual([])
  })

  it('takes the practice notice from the server and shows it calmly', async () => {
    const stage = { says: 'This is the practice greenhouse.', tryThis: 'Stop a blower.' }
    farm = await openFarm({ pageFolder: built.folder, snapshot: calmNight, stage })
    const { page } = await visit(browser, farm.url)
    expect(await page.getByRole('complementary', { name: 'Practice' }).textContent()).toContain(stage.tryThis)
  })

  it('follows the farm live', async () => {
    const shown = await open(calmNight)
    shown.farm.door.show({ ...outage, at: calmNight.at })
    shown.farm.clock.advance(seconds(1))
    await shown.page
      .getByText(/^Blower A stopped/)
      .first()
      .waitFor()
  })
})

describe('answering', () => {
  it('acknowledges the worst under the thumb, in the name chosen, once, and goes on to the next', async () => {
    const { page, farm: opened } = await open()
    const thumb = page.getByRole('region', { name: 'Acknowledge' })
    await thumb.getByLabel('I am').selectOption('First keeper')
    const button = thumb.getByRole('button')
    const box = await button.boundingBox()
    expect(box?.height ?? 0).toBeGreaterThanOrEqual(44)
    expect((box?.y ?? 0) + (box?.height ?? 0)).toBeGreaterThan(phone.height * 0.75)
    // A wet thumb taps twice.
    await button.dblclick()
    await page.getByText('Thank you. You have Blower A.').first().waitFor()
    expect(opened.door.acts).toEqual([
      {
        do: 'acknowledge',
        alarm: 'equipment-fault@blower-a',
        occurrence: 1,
        by: 'first-keeper',
        via: 'page',
      },
    ])
    opened.clock.advance(seconds(1))
    await thumb.getByText(/tank 1, oxygen/).waitFor()
    expect(await page.getByText(/First keeper is on it since 02:14/).count()).toBe(1)
  })

  it('remembers who is holding the phone', async () => {
    const { page } = await open()
    await page.getByLabel('I am').selectOption('Second keeper')
    await page.reload()
    await headline(page).waitFor()
    expect(await page.getByLabel('I am').inputValue()).toBe('second-keeper')
  })

  it('works with the keyboard alone, and leaves the focus on the verdict when nothing is left', async () => {
    const { page, farm: opened } = await open()
    const focused = () =>
      page.evaluate(() => {
        const { activeElement, body } = document
        return activeElement === body ? '' : (activeElement?.textContent ?? '')
      })
    for (const rest of ['critical: Blower A', 'high: tank 1']) {
      for (let step = 0; step < 12 && !(await focused()).includes(rest); step += 1)
        await page.keyboard.press('Tab')
      expect(await focused()).toContain(rest)
      const before = opened.door.acts.length
      await page.keyboard.press('Enter')
      await expect.poll(() => opened.door.acts.length).toBe(before + 1)
      opened.clock.advance(seconds(1))
      await expect.poll(focused).not.toContain(rest)
    }
    expect(opened.door.acts.map((act) => act.do)).toEqual(['acknowledge', 'acknowledge'])
    expect(await focused()).toBe(await headline(page).textContent())
  })

  it('says so when an answer could not be sent, and keeps the button', async () => {
    const { page, farm: opened, context } = await open()
    await context.route('**/acknowledge', (route) => route.abort())
    const thumb = page.getByRole('region', { name: 'Acknowledge' })
    await thumb.getByRole('button').click()
    await thumb.getByText('Not sent: no connection. Try again.').waitFor()
    expect(opened.door.acts).toEqual([])
    await context.unroute('**/acknowledge')
    await thumb.getByRole('button').click()
    await expect.poll(() => opened.door.acts.length).toBe(1)
  })
})

describe('a lost connection', () => {
  it('is said with its time instead of stale numbers, and heals by itself', async () => {
    const { page, farm: opened } = await open(calmNight)
    await opened.stop()
    await page.getByRole('heading', { name: 'No connection since 02:14.' }).waitFor()
    expect(await page.getByText('Last known: All well since yesterday 21:40.').count()).toBe(1)
    const figure = page.locator('.big .figure').first()
    const faint = await page.evaluate(() =>
      getComputedStyle(document.documentElement).getPropertyValue('--faint'),
    )
    const colour = await figure.evaluate((element) => getComputedStyle(element).color)
    const faintAsPainted = await page.evaluate((value) => {
      const probe = document.body.appendChild(document.createElement('i'))
      probe.style.color = value
      return getComputedStyle(probe).color
    }, faint)
    expect(colour).toBe(faintAsPainted)
    await page.screenshot({ path: `${pictures}/lost-390-dark.png` })
    await opened.start()
    await page.getByRole('heading', { name: /^All well/ }).waitFor()
  })

  it('is noticed although the line stays open and silent', async () => {
    farm = await openFarm({ pageFolder: built.folder, snapshot: calmNight })
    const context = await browser.newContext({ viewport: phone, locale: 'en-GB' })
    const page = await context.newPage()
    await page.clock.install()
    await page.goto(farm.url)
    await page.getByRole('heading', { name: /^All well/ }).waitFor()
    // The farm's clock stands still, so no beat comes; the page's own time runs.
    await page.clock.runFor(26_000)
    await page.getByRole('heading', { name: /^No connection since 02:14/ }).waitFor()
  })
})

describe('the day of a signal', () => {
  it('opens on a tap, tells in words what is drawn, with its gap and limit, and closes by Escape', async () => {
    const { page, complaints } = await open()
    await page.getByRole('button', { name: /^Oxygen\b.*below its limit/ }).click()
    const dialog = page.getByRole('dialog', { name: /Tank 1, oxygen/ })
    const told = (await dialog.getByRole('img').getAttribute('aria-label')) ?? ''
    expect(told).toMatch(
      /Lowest 4\.1.mg\/L, 02:09\. Highest 7\.4.mg\/L.*1 gap, the longest 1.h\. not below 4\.5.mg\/L/,
    )
    await dialog.locator('canvas').waitFor()
    expect(await dialog.locator('canvas').count()).toBe(1)
    await page.screenshot({ path: `${pictures}/day-390-dark.png` })
    await page.keyboard.press('Escape')
    await dialog.waitFor({ state: 'detached' })
    expect(complaints).toEqual([])
  })
})

describe('coming in', () => {
  it('asks for a password where the farm is closed, refuses a wrong one in words, and lets the right one in', async () => {
    const password = await hashPassword('larkfield at night')
    farm = await openFarm({
      pageFolder: built.folder,
      snapshot: outage,
      options: { lookWithoutLogin: false, actWithoutLogin: false },
      members: [{ id: 'first-keeper', role: 'keeper', password }],
    })
    const { page } = await visit(browser, farm.url)
    expect(await page.getByText('Blower A').count()).toBe(0)
    await page.getByLabel('Your id').fill('first-keeper')
    await page.getByLabel('Password').fill('wrong')
    await page.getByRole('button', { name: 'Log in' }).click()
    await page.getByText('That person and password do not go together.').waitFor()
    await page.getByLabel('Password').fill('larkfield at night')
    await page.getByRole('button', { name: 'Log in' }).click()
    await page.getByRole('heading', { name: /^Blower A stopped/ }).waitFor()
    await page.getByRole('region', { name: 'Acknowledge' }).getByRole('button').click()
    await expect.poll(() => farm?.door.acts.map(({ by }) => by)).toEqual(['first-keeper'])
    await page.getByRole('button', { name: 'Log out' }).click()
    await page.getByRole('heading', { name: 'Come in' }).waitFor()
  })
})

describe('for every eye and hand', () => {
  const looks: readonly Look[] = [390, 1280].flatMap((width) =>
    (['dark', 'light'] as const).map((scheme) => ({ width, height: width === 390 ? 844 : 800, scheme })),
  )

  it.each(looks)('has the contrast of WCAG 2.2 AA at $width px, $scheme', async (look) => {
    for (const [name, snapshot] of Object.entries({ calm: calmNight, outage })) {
      const { page, context, farm: opened } = await open(snapshot, look)
      expect(await page.evaluate(faintTexts)).toEqual([])
      await page.screenshot({ path: `${pictures}/${name}-${look.width}-${look.scheme}.png` })
      await context.close()
      await opened.stop()
    }
  })

  it('fits into 320 px without scrolling sideways (WCAG 2.2, 1.4.10)', async () => {
    const { page } = await open(outage, { width: 320, height: 640, scheme: 'dark' })
    const wide = await page.evaluate(() => document.documentElement.scrollWidth)
    expect(wide).toBeLessThanOrEqual(320)
    await page.screenshot({ path: `${pictures}/outage-320-dark.png`, fullPage: true })
  })

  it('has targets of at least 44 px, names for all of them, one main, and headings in order', async () => {
    const { page } = await open()
    const targets = await page.locator('button:visible, select:visible, summary:visible').all()
    expect(targets.length).toBeGreaterThan(10)
    for (const target of targets) {
      expect((await target.boundingBox())?.height ?? 0).toBeGreaterThanOrEqual(44)
    }
    expect(await page.getByRole('button', { name: /^\s*$/ }).count()).toBe(0)
    expect(await page.getByRole('main').count()).toBe(1)
    const levels = await page
      .locator('h1, h2, h3')
      .evaluateAll((all) => all.map(({ tagName }) => Number(tagName[1])))
    expect(levels[0]).toBe(1)
    levels.slice(1).forEach((level, index) => expect(level - (levels[index] ?? 0)).toBeLessThanOrEqual(1))
  })

  it('reads the verdict out once, without the age that grows', async () => {
    const { page } = await open()
    const spoken = await page.locator('.verdict [role=status]').textContent()
    expect(spoken).toMatch(/^Blower A stopped, since 02:10; tank 1 oxygen 3\.8/)
  })

  it('does not move where motion is unwelcome', async () => {
    farm = await openFarm({ pageFolder: built.folder, snapshot: outage, recorded: dayOfOxygen() })
    const context = await browser.newContext({ viewport: phone, reducedMotion: 'reduce' })
    const page = await context.newPage()
    await page.goto(farm.url)
    await page
      .getByRole('button', { name: /^Oxygen\b/ })
      .first()
      .click()
    await page.getByRole('dialog').waitFor()
    expect(await page.evaluate(() => document.getAnimations().length)).toBe(0)
  })
})

/** Runs in the page: texts whose contrast with what is behind them is below 4.5, or 3 where they are large. */
function faintTexts(): string[] {
  const luminance = (colour: readonly number[]) => {
    const [red = 0, green = 0, blue = 0] = colour.map((part) => {
      const share = part / 255
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4
    })
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
  }
  const parse = (text: string) => (text.match(/[\d.]+/g) ?? []).map(Number)
  const ground = (element: Element | null): readonly number[] => {
    for (let at = element; at !== null; at = at.parentElement) {
      const colour = parse(getComputedStyle(at).backgroundColor)
      if ((colour[3] ?? 1) > 0.99) return colour
    }
    return [255, 255, 255]
  }
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  const faint: string[] = []
  while (walker.nextNode() !== null) {
    const element = walker.currentNode.parentElement
    const text = walker.currentNode.textContent?.trim() ?? ''
    // Marks and the staff are said in words beside them.
    if (element === null || text === '' || element.closest('svg, .unseen') !== null) continue
    const style = getComputedStyle(element)
    const [one, other] = [luminance(parse(style.color)), luminance(ground(element))].sort((a, b) => b - a)
    const contrast = ((one ?? 0) + 0.05) / ((other ?? 0) + 0.05)
    const size = parseFloat(style.fontSize)
    const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700)
    if (contrast < (large ? 3 : 4.5)) faint.push(`${text}: ${contrast.toFixed(2)}`)
  }
  return faint
}
