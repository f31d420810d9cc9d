import { Box, Text } from 'ink';
import { fieldInHand, type Intake, refusalOf, revisionChoices } from '../../../view/job/intake.ts';
import { askedFields, intakeQuestions } from '../../../view/job/intake-fields.ts';
import type { Look } from '../terminal/terminal-capabilities.ts';

const labelWidth = 18;

/**
 * What is asked before a job begins: the device is the guide's, the rest is for the person to say.
 */
export function IntakeScreen({ intake, cols, rows, look }: { intake: Intake; cols: number; rows: number; look: Look }) {
  const { guide } = intake;
  const field = fieldInHand(intake);
  const colour = (name: string) => (look.colour ? { color: name } : {});
  const refusal = refusalOf(intake);
  const shown = intake.asked.filter((one) => one !== 'override' || refusal !== null);
  const given = askedFields.filter((one) => one !== 'override' && !intake.asked.includes(one));
  return (
    <Box flexDirection="column" width={cols} height={rows - 1} paddingX={1} overflow="hidden">
      <Line bold text="A new job" />
      <Line text={`${guide.device.maker} ${guide.device.name}, ${guide.device.kind}`} />
      <Line text={guide.title} />
      <Line text="" />
      {given.map((one) => (
        <Line key={one} text={`  ${intakeQuestions[one].label.padEnd(labelWidth)}${intake.fields[one] ?? ''}`} />
      ))}
      {shown.map((one) => {
        const inHand = one === field;
        const value = inHand && one !== 'revision' ? `${intake.draft}_` : (intake.fields[one] ?? '');
        return (
          <Line
            key={one}
            bold={inHand}
            text={`${inHand ? '>' : ' '} ${intakeQuestions[one].label.padEnd(labelWidth)}${value}`}
          />
        );
      })}
      <Line text="" />
      {field === 'revision' &&
        revisionChoices(guide).map(({ revision, refused }, index) => (
          <Box key={revision} flexShrink={0} flexDirection="column">
            <Text bold={index === intake.cursor} inverse={index === intake.cursor} wrap="truncate">
              {`  ${revision.padEnd(8)} ${refused === null ? 'the guide holds' : 'the guide does NOT hold'}  `}
            </Text>
            {refused !== null && index === intake.cursor && <Text wrap="wrap">{`  ${refused}`}</Text>}
          </Box>
        ))}
      {field === 'override' && refusal !== null && (
        <Text wrap="wrap" {...colour('yellow')}>{`Revision ${intake.fields.revision} is refused: ${refusal}.`}</Text>
      )}
      <Line text="" />
      {field !== null && (
        <Text wrap="wrap" {...colour('cyan')}>
          {intakeQuestions[field].hint}
        </Text>
      )}
      <Line text="Ctrl-C leaves; nothing has been stored yet." />
    </Box>
  );
}

function Line({ text, bold = false }: { text: string; bold?: boolean }) {
  return (
    <Box flexShrink={0} height={1}>
      <Text bold={bold} wrap="truncate">
        {text}
      </Text>
    </Box>
  );
}
