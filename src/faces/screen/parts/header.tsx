import stringWidth from 'string-width';
import { fitText } from '../../../view/text/fit-text.ts';
import { Row, Span } from './row.tsx';
import { drawable, type Theme } from './theme.ts';

/**
 * One inverse row across the screen: what it is about on the left, the state of the link on the
 * right.
 */
export function Header({ left, right, cols, theme }: { left: string; right: string; cols: number; theme: Theme }) {
  const end = drawable(` ${right} `, theme);
  const room = Math.max(0, cols - stringWidth(end));
  return (
    <Row theme={theme}>
      <Span text={fitText(drawable(` ${left}`, theme), room)} inverse theme={theme} />
      <Span text={end} inverse bold theme={theme} />
    </Row>
  );
}
