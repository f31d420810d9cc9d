import { Box } from 'ink';
import { fieldInHand, type Intake, refusalOf, revisionChoices } from '../../../view/job/intake.ts';
import { askedFields, intakeQuestions } from '../../../view/job/intake-fields.ts';
import { endCols } from '../../../view/text/fit-text.ts';
import { Line, Paragraph } from '../parts/row.tsx';
import type { Theme } from '../parts/theme.ts';

const labelWidth = 18;

interface IntakeProps {
  intake: Intake;
  cols: number;
  rows: number;
  theme: Theme;
}

/**
 * What is asked before a job begins: the device is the guide's, the rest is for the person to say.
 */
export function IntakeScreen({ intake, cols, rows, theme }: IntakeProps) {
  const { guide } = intake;
  const field = fieldInHand(intake);
  const texts = { cols: cols - 2, most: 4, theme };
  const refusal = refusalOf(intake);
  const shown = intake.asked.filter((one) => one !== 'override' || refusal !== null);
  const given = askedFields.filter((one) => one !== 'override' && !intake.asked.includes(one));
  return (
    <Box flexDirection="column" width={cols} height={rows - 1} paddingX={1} overflow="hidden">
      <Line text="A new job" tone="strong" theme={theme} />
      <Line text={`${guide.device.maker} ${guide.device.name}, ${guide.device.kind}`} theme={theme} />
      <Line text={guide.title} theme={theme} />
      <Line text="" theme={theme} />
      {given.map((one) => (
        <Line
          key={one}
          text={`  ${intakeQuestions[one].label.padEnd(labelWidth)}${intake.fields[one] ?? ''}`}
          theme={theme}
        />
      ))}
      {shown.map((one) => {
        const inHand = one === field;
        const value =
          inHand && one !== 'revision'
            ? endCols(`${intake.draft}_`, cols - labelWidth - 4)
            : (intake.fields[one] ?? '');
        return (
          <Line
            key={one}
            tone={inHand ? 'strong' : 'plain'}
            theme={theme}
            text={`${inHand ? '>' : ' '} ${intakeQuestions[one].label.padEnd(labelWidth)}${value}`}
          />
        );
      })}
      <Line text="" theme={theme} />
      {field === 'revision' &&
        revisionChoices(guide).map(({ revision, refused }, index) => (
          <Box key={revision} flexShrink={0} flexDirection="column">
            <Line
              text={`  ${revision.padEnd(8)} ${refused === null ? 'the guide holds' : 'the guide does NOT hold'}  `}
              inverse={index === intake.cursor}
              bold={index === intake.cursor}
              theme={theme}
            />
            {refused !== null && index === intake.cursor && <Paragraph text={refused} {...texts} />}
          </Box>
        ))}
      {field === 'override' && refusal !== null && (
        <Paragraph text={`Revision ${intake.fields.revision} is refused: ${refusal}.`} tone="doubt" {...texts} />
      )}
      <Line text="" theme={theme} />
      {field !== null && <Paragraph text={intakeQuestions[field].hint} tone="strong" {...texts} />}
      <Line text="Ctrl-C leaves; nothing has been stored yet." theme={theme} />
    </Box>
  );
}
