import { Box, Text } from 'ink';
import stringWidth from 'string-width';
import { fitText } from './fit-text.ts';
import { drawable, type Theme } from './theme.ts';

/**
 * One inverse row across the screen: what it is about on the left, the state of the link on the
 * right.
 */
export function Header({ left, right, cols, theme }: { left: string; right: string; cols: number; theme: Theme }) {
  const end = drawable(` ${right} `, theme);
  const room = Math.max(0, cols - stringWidth(end));
  return (
    <Box height={1} width={cols} flexShrink={0} overflow="hidden">
      <Box width={room} flexShrink={0} overflow="hidden">
        <Text inverse wrap={theme.unicode ? 'truncate' : 'hard'}>
          {fitText(drawable(` ${left}`, theme), room)}
        </Text>
      </Box>
      <Text inverse bold wrap={theme.unicode ? 'truncate' : 'hard'}>
        {end}
      </Text>
    </Box>
  );
}
