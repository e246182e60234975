import { useEffect, useRef, useState } from 'preact/hooks'
import type { Course, SignalNow } from '../../../daemon/http/contract.js'
import { CourseChart } from '../../charts/course.js'
import { extremesOf, gapsOf } from '../../charts/gaps.js'
import { api, type Reply } from '../../live/api.js'
import type { Manner } from '../../wording/en.js'
import { valueText } from '../../wording/shown.js'
import type { Words } from '../../wording/words.js'
import { How } from './how.js'

interface OneSignalProps {
  readonly signal: SignalNow
  readonly place: string
  readonly words: Words
  readonly manner: Manner
  readonly onClose: () => void
}

/** How did it go over the last day? Opens over the page; Escape, the button or a tap beside it closes. */
export function OneSignal({ signal, place, words, manner, onClose }: OneSignalProps) {
  const dialog = useRef<HTMLDialogElement>(null)
  const [reply, setReply] = useState<Reply<Course> | null>(null)
  useEffect(() => {
    dialog.current?.showModal()
  }, [])
  useEffect(() => {
    let wanted = true
    // Two samples a pixel keep every peak of a thinned course.
    const width = Math.max(200, Math.min(2000, Math.round(window.innerWidth * 2)))
    void api.course(signal.place, signal.quantity, width).then((answer) => wanted && setReply(answer))
    return () => void (wanted = false)
  }, [signal.place, signal.quantity])
  return (
    <dialog
      ref={dialog}
      class="day"
      aria-labelledby="day"
      onClose={onClose}
      onClick={({ target, currentTarget }) => target === currentTarget && currentTarget.close()}
    >
      <header>
        <h2 id="day">
          {words.sentence(place)}, {signal.label}
          <span class="meta">{words.day}</span>
        </h2>
        <button type="button" class="plain" onClick={() => dialog.current?.close()}>
          {words.close}
        </button>
      </header>
      {reply === null && <p class="course">{words.courseLoading}</p>}
      {reply !== null && reply.kind !== 'good' && <p class="warn">{words.courseFailed}</p>}
      {reply?.kind === 'good' && <Told course={reply.value} {...{ signal, words, manner }} />}
      {signal.computed && <How {...{ signal, words, manner }} />}
    </dialog>
  )
}

interface ToldProps extends Pick<OneSignalProps, 'signal' | 'words' | 'manner'> {
  readonly course: Course
}

/** The curve and the same in words, for ears and for those who want the figure. */
function Told({ course, signal, words, manner }: ToldProps) {
  const extremes = extremesOf(course.samples)
  if (extremes === null) return <p class="faint">{words.courseEmpty}</p>
  const gaps = gapsOf(course)
  const longest = Math.max(0, ...gaps.map(({ from, to }) => to - from))
  const told = ({ value, at }: typeof extremes.lowest) =>
    value === null ? '–' : `${valueText(signal, value, manner.units)}, ${words.atTime(at, manner)}`
  const rows = [
    [words.latest, told(extremes.latest)],
    [words.lowest, told(extremes.lowest)],
    [words.highest, told(extremes.highest)],
    [words.gapsLabel, words.gaps(gaps.length, longest)],
  ] as const
  const limits = course.limits.map(({ beyond, limit }) =>
    words.limit(beyond, valueText(signal, limit, manner.units)),
  )
  const summary = [...rows.map(([word, text]) => `${word} ${text}`), ...limits].join('. ')
  return (
    <>
      <CourseChart
        units={manner.units}
        timeZone={manner.timeZone}
        gapWord={words.gap}
        {...{ course, summary }}
      />
      <dl>
        {rows.map(([word, text]) => (
          <div key={word}>
            <dt>{word}</dt>
            <dd>{text}</dd>
          </div>
        ))}
      </dl>
      {limits.length > 0 && <p class="meta">{limits.join('; ')}</p>}
    </>
  )
}
