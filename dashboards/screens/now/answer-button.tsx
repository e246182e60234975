import type { ComponentChildren } from 'preact'
import { useLayoutEffect, useRef } from 'preact/hooks'

interface AnswerButtonProps {
  readonly busy: boolean
  /** What it is called where the visible words do not say it all. */
  readonly label?: string
  readonly onPress: () => void
  readonly children: ComponentChildren
}

/** Where the focus goes when there is nothing left to press. */
export const verdictId = 'verdict'

/**
 * A button that goes away once it has worked. It then hands the focus to the verdict, so that whoever uses the keyboard
 * or a screen reader is not thrown back to the top of the document.
 */
export function AnswerButton({ busy, label, onPress, children }: AnswerButtonProps) {
  const button = useRef<HTMLButtonElement>(null)
  // A plain effect would be undone only after the button, and the focus with it, is gone.
  useLayoutEffect(() => {
    const own = button.current
    return () => {
      if (own !== null && own === document.activeElement) document.getElementById(verdictId)?.focus()
    }
  }, [])
  return (
    // aria-disabled instead of disabled: a disabled button loses the focus.
    <button
      ref={button}
      type="button"
      class="answer"
      aria-disabled={busy}
      {...(label === undefined ? {} : { 'aria-label': label })}
      onClick={onPress}
    >
      {children}
    </button>
  )
}
