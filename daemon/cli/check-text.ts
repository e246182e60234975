import { priorities } from '../alarms/rule.js'
import type { AlarmSummary, CheckReport } from './check-report.js'
import { columns, wrapped } from './columns.js'

/** The report as a keeper reads it, at most `width` columns wide. */
export function checkText(report: CheckReport, width: number): string {
  const sections = [
    heading(report),
    ['What is watched', ...watched(report, width)],
    ['Alarms, worst first', ...alarms(report, width)],
    ['Who is called now', ...callOut(report, width)],
    ['What could fail unseen', ...blind(report, width)],
    ...(report.remarks.length === 0
      ? []
      : [
          [
            'Worth knowing',
            ...report.remarks.flatMap((remark) => wrapped(remark, { width, first: '  - ', rest: '    ' })),
          ],
        ]),
    verdict(report, width),
  ]
  return `${sections.map((lines) => lines.join('\n')).join('\n\n')}\n`
}

const count = (number: number, one: string, many = `${one}s`): string =>
  `${number} ${number === 1 ? one : many}`

function heading(report: CheckReport): readonly string[] {
  const signals = report.watched.reduce((sum, { signals: heard }) => sum + heard.length, 0)
  const sizes = `${count(signals, 'signal')}, ${count(report.alarms.length, 'alarm')}`
  return [`${report.farm}: ${sizes}. Times are of ${report.timeZone}.`]
}

function watched({ watched: things, patterns }: CheckReport, width: number): readonly string[] {
  const lines = things.flatMap(({ id, what, signals }) => [
    ...wrapped(what.toLowerCase() === id ? what : `${what} (${id})`, { width, first: '  ', rest: '    ' }),
    ...columns(
      signals.map(({ quantity, how }) => [quantity, how]),
      { indent: 4, width },
    ),
  ])
  const more = patterns.flatMap((pattern) => wrapped(pattern, { width, first: '    ', rest: '      ' }))
  return more.length === 0 ? lines : [...lines, '  and whatever is published as', ...more]
}

function alarms({ alarms: all }: CheckReport, width: number): readonly string[] {
  return [...priorities].reverse().flatMap((priority) => {
    const some = all.filter((alarm) => alarm.priority === priority)
    if (some.length === 0) return []
    return [`  ${priority}`, ...some.flatMap((alarm) => oneAlarm(alarm, width))]
  })
}

function oneAlarm(alarm: AlarmSummary, width: number): readonly string[] {
  const about = [
    alarm.when,
    alarm.why === 'usual' ? '' : `priority ${alarm.why}`,
    alarm.except,
    callInWords(alarm),
    alarm.lifeSupport ? 'life support' : '',
    alarm.lesserOf === null ? '' : `quiet under ${alarm.lesserOf}`,
    alarm.enteredOnly ? 'no probe: only for what people enter' : '',
  ]
  const text = about.filter((part) => part !== '').join('; ')
  return [`    ${alarm.id}`, ...wrapped(text, { width, first: '      ', rest: '      ' })]
}

/** AL-24: low ones wait for the morning whatever their ladder. */
function callInWords({ priority, ladder }: AlarmSummary): string {
  if (ladder === null) return 'calls nobody'
  return priority === 'low' ? 'told in the morning digest' : `ladder ${ladder}`
}

function callOut({ ladders, onDuty }: CheckReport, width: number): readonly string[] {
  const duty = onDuty.length === 0 ? 'nobody' : onDuty.join(', ')
  return [
    `  on duty: ${duty}`,
    ...ladders.flatMap(({ name, steps, then }) => [
      `  ladder ${name}`,
      ...[...steps, then].flatMap((step) => wrapped(step, { width, first: '    ', rest: '      ' })),
    ]),
  ]
}

/** Failures not seen come first: they are why the section is read. */
const order = ['not seen', 'late', 'if published', 'at once']

function blind({ blindSpots }: CheckReport, width: number): readonly string[] {
  const sorted = [...blindSpots].sort((a, b) => order.indexOf(a.seen) - order.indexOf(b.seen))
  return sorted.flatMap(({ failure, seen, by, wouldHelp }) => {
    const how = by === null ? seen : `${seen}, by ${by}`
    const help =
      wouldHelp === null
        ? []
        : wrapped(`would help: ${wouldHelp}`, { width, first: '      ', rest: '        ' })
    return [...wrapped(`${failure}: ${how}`, { width, first: '  ', rest: '    ' }), ...help]
  })
}

function verdict({ unwatched }: CheckReport, width: number): readonly string[] {
  if (unwatched.length === 0) return ['The configuration is valid.']
  const tanks = unwatched.join(', ')
  const text = `The configuration is valid, but the fish in ${tanks} cannot be watched: nothing measures the oxygen there.`
  return wrapped(text, { width, first: '', rest: '' })
}
