import { useEffect, useRef } from 'preact/hooks'
import UPlot from 'uplot'
import 'uplot/dist/uPlot.min.css'
import type { Course } from '../../daemon/http/contract.js'
import { shownNumber, type ShowUnits } from '../wording/shown.js'
import { clockTime } from '../wording/time.js'
import { brokenLine, gapsOf } from './gaps.js'

interface CourseChartProps {
  readonly course: Course
  readonly units: ShowUnits
  readonly timeZone: string
  /** Says in words what is drawn: canvas has no other. */
  readonly summary: string
  readonly gapWord: string
}

const height = 240
/** Ten per cent of air above and below the line; common practice. */
const headroom = 0.1

/** The course of one signal: gaps hatched and never bridged, limits as shaded ground that the line should not touch. */
export function CourseChart({ course, units, timeZone, summary, gapWord }: CourseChartProps) {
  const box = useRef<HTMLDivElement>(null)
  useEffect(() => {
    const element = box.current
    if (element === null) return
    const plot = new UPlot(
      optionsFor(element, { course, units, timeZone, gapWord }),
      dataFor(course, units),
      element,
    )
    const fit = new ResizeObserver(() => plot.setSize({ width: element.clientWidth, height }))
    fit.observe(element)
    return () => {
      fit.disconnect()
      plot.destroy()
    }
  }, [course, units, timeZone, gapWord])
  return <div class="course" ref={box} role="img" aria-label={summary} />
}

const scaleOf = ({ signal, unit }: Course) => ({ quantity: signal.slice(signal.indexOf('/') + 1), unit })

function dataFor(course: Course, units: ShowUnits): UPlot.AlignedData {
  const { times, values } = brokenLine(course.samples, course.gapAfter)
  return [
    times.map((at) => at / 1000),
    values.map((value) => (value === null ? null : shownNumber(value, scaleOf(course), units))),
  ]
}

type Drawn = Omit<CourseChartProps, 'summary'>

function optionsFor(element: HTMLElement, drawn: Drawn): UPlot.Options {
  const { course, units, timeZone } = drawn
  const style = getComputedStyle(element)
  const colour = (name: string) => style.getPropertyValue(name).trim()
  const axis = {
    stroke: colour('--faint'),
    grid: { stroke: colour('--rule'), width: 1 },
    ticks: { show: false },
    font: '13px system-ui, sans-serif',
  }
  const limits = course.limits.map(({ limit }) => shownNumber(limit, scaleOf(course), units))
  return {
    width: element.clientWidth,
    height,
    legend: { show: false },
    cursor: { y: false, points: { size: 9 } },
    scales: {
      x: { range: () => [course.from / 1000, course.to / 1000] },
      y: {
        range: (_plot, low, high) => {
          // Null when nothing was recorded (uPlot's own typing leaves that out).
          const known = [low, high, ...limits].filter((value) => Number.isFinite(value))
          if (known.length === 0) return [0, 1]
          const [bottom, top] = [Math.min(...known), Math.max(...known)]
          const air = Math.max((top - bottom) * headroom, 0.1)
          return [bottom - air, top + air]
        },
      },
    },
    series: [{}, { stroke: colour('--water-line'), width: 2, spanGaps: false, points: { show: false } }],
    axes: [
      { ...axis, space: 60, values: (_plot, ticks) => ticks.map((tick) => clockTime(tick * 1000, timeZone)) },
      { ...axis, size: 46 },
    ],
    hooks: {
      drawClear: [
        (plot) => drawGaps(plot, drawn, colour('--faint')),
        (plot) => drawLimits(plot, drawn, { line: colour('--lamp'), ground: colour('--lamp-ground') }),
      ],
    },
  }
}

function drawGaps({ ctx, bbox, valToPos }: UPlot, { course, gapWord }: Drawn, ink: string): void {
  ctx.save()
  ctx.strokeStyle = ink
  ctx.fillStyle = ink
  ctx.globalAlpha = 0.55
  ctx.lineWidth = 1
  for (const { from, to } of gapsOf(course)) {
    const left = Math.max(bbox.left, valToPos(from / 1000, 'x', true))
    const right = Math.min(bbox.left + bbox.width, valToPos(to / 1000, 'x', true))
    hatch(ctx, { left, right, top: bbox.top, bottom: bbox.top + bbox.height })
    if (right - left > 90 * devicePixelRatio) {
      ctx.globalAlpha = 1
      ctx.font = `${13 * devicePixelRatio}px system-ui, sans-serif`
      ctx.textAlign = 'center'
      ctx.fillText(gapWord, (left + right) / 2, bbox.top + bbox.height - 10 * devicePixelRatio)
      ctx.globalAlpha = 0.55
    }
  }
  ctx.restore()
}

interface Box {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}

function hatch(ctx: CanvasRenderingContext2D, { left, right, top, bottom }: Box): void {
  ctx.save()
  ctx.beginPath()
  ctx.rect(left, top, right - left, bottom - top)
  ctx.clip()
  ctx.beginPath()
  for (let x = left - (bottom - top); x < right; x += 9 * devicePixelRatio) {
    ctx.moveTo(x, bottom)
    ctx.lineTo(x + (bottom - top), top)
  }
  ctx.globalAlpha = 0.25
  ctx.stroke()
  ctx.restore()
}

function drawLimits(
  { ctx, bbox, valToPos }: UPlot,
  { course, units }: Drawn,
  ink: { line: string; ground: string },
): void {
  ctx.save()
  ctx.beginPath()
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height)
  ctx.clip()
  for (const { limit, beyond } of course.limits) {
    const y = valToPos(shownNumber(limit, scaleOf(course), units), 'y', true)
    ctx.fillStyle = ink.ground
    if (beyond === 'below') ctx.fillRect(bbox.left, y, bbox.width, bbox.top + bbox.height - y)
    else ctx.fillRect(bbox.left, bbox.top, bbox.width, y - bbox.top)
    ctx.strokeStyle = ink.line
    ctx.lineWidth = 1.5 * devicePixelRatio
    ctx.setLineDash([6 * devicePixelRatio, 4 * devicePixelRatio])
    ctx.beginPath()
    ctx.moveTo(bbox.left, y)
    ctx.lineTo(bbox.left + bbox.width, y)
    ctx.stroke()
  }
  ctx.restore()
}
