// The job as one sentence; each blank is a control.
import { useState } from 'preact/hooks';
import type { JobHandle } from '../state/use_job';
import type { Fault, Job, Lists, Units } from '../types';
import type { Blank } from '../words/blanks';
import { lengthAside } from '../words/figures';
import {
  capBlank,
  capsBlank,
  isByWidth,
  mountBlank,
  needleBlank,
  plateBlanks,
  plateWords,
  sizeBlank,
  speedBlank,
} from '../words/ticket';
import { restOfTicket } from '../words/ticket_rest';
import { Amount } from './Amount';
import { ArtworkSheet, type Source } from './ArtworkSheet';
import { Choices } from './Choices';
import { Slip } from './Slip';

interface Props {
  job: Job;
  lists: Lists | null;
  units: Units;
  fault: Fault | null;
  faultKey: string | null;
  change: JobHandle['change'];
  onSource: (source: Source) => void;
}

interface FilledProps {
  blank: Blank;
  units: Units;
  change: JobHandle['change'];
  isWrong: boolean;
}

/** The sheet of one blank. */
function BlankSheet({
  blank,
  units,
  take,
}: {
  blank: Blank;
  units: Units;
  take: (value: string) => void;
}) {
  const [text, setText] = useState(blank.sheet.kind === 'text' ? blank.sheet.value : '');
  const { sheet, name } = blank;
  if (sheet.kind === 'choice') {
    return <Choices name={name} choices={sheet.choices} value={sheet.value} onPick={take} />;
  }
  if (sheet.kind === 'amount') {
    return (
      <Amount
        name={name}
        value={sheet.value}
        unit={sheet.unit}
        units={units}
        least={sheet.least}
        most={sheet.most}
        step={sheet.step}
        onTake={(value) => value !== null && take(String(Number(value.toFixed(4))))}
      />
    );
  }
  return (
    <form
      class="amount"
      onSubmit={(event) => {
        event.preventDefault();
        take(text);
      }}
    >
      <label class="row">
        {name}{' '}
        <input
          type="text"
          class="wide"
          value={text}
          maxLength={200}
          onInput={(event) => setText(event.currentTarget.value)}
        />
      </label>
      <button type="submit" class="btn">
        Set
      </button>
    </form>
  );
}

const faceOf = (isEmpty: boolean, isWrong: boolean) =>
  `bk${isEmpty ? ' empty' : ''}${isWrong ? ' wrong' : ''}`;

function Filled({ blank, units, change, isWrong }: FilledProps) {
  return (
    <Slip
      name={blank.name}
      face={faceOf(blank.isEmpty, isWrong)}
      words={blank.words || 'not set'}
      label={`${blank.name}: ${blank.words || 'not set'}`}
      describedBy={isWrong ? 'ticket-fault' : undefined}
    >
      {(close) => (
        <BlankSheet
          blank={blank}
          units={units}
          take={(value) => {
            close();
            const asked = blank.ask(value);
            void change(asked.asked, asked.words);
          }}
        />
      )}
    </Slip>
  );
}

function PlateBlank({
  job,
  lists,
  units,
  change,
  isWrong,
}: Omit<FilledProps, 'blank'> & { job: Job; lists: Lists | null }) {
  const source = { settings: job.settings, ticket: job.ticket, layout: job.layout, lists, units };
  const words = plateWords(source);
  return (
    <Slip
      name="Needle plate"
      face={faceOf(false, isWrong)}
      words={words}
      label={`Needle plate: ${words}`}
    >
      {(close) => (
        <>
          {plateBlanks(source).map((blank) => (
            <BlankSheet
              key={blank.key}
              blank={blank}
              units={units}
              take={(value) => {
                close();
                const asked = blank.ask(value);
                void change(asked.asked, asked.words);
              }}
            />
          ))}
          <p class="caution">
            Power off, and turn the machine through one full stitch by hand first.
          </p>
        </>
      )}
    </Slip>
  );
}

function artworkWords(job: Job): string {
  const ticket = job.ticket.artwork;
  if (typeof ticket === 'string' && ticket) return ticket;
  const artwork = job.settings.artwork as { text?: string; file?: string } | undefined;
  if (artwork?.text) return `“${artwork.text.split('\n').join(' / ')}”`;
  return artwork?.file?.split('/').pop() ?? '';
}

export function Ticket({ job, lists, units, fault, faultKey, change, onSource }: Props) {
  const [isMore, setMore] = useState(false);
  const source = { settings: job.settings, ticket: job.ticket, layout: job.layout, lists, units };
  const fill = (blank: Blank) => (
    <Filled blank={blank} units={units} change={change} isWrong={blank.key === faultKey} />
  );
  const size = sizeBlank(source);
  const artwork = artworkWords(job);
  const rest = restOfTicket(source);
  return (
    <section class="ticket" aria-label="Ticket">
      <p class="sentence">
        <Slip
          name="Artwork"
          face={faceOf(!artwork, faultKey?.startsWith('artwork') === true && faultKey !== size.key)}
          words={artwork || 'choose artwork'}
          label={`Artwork: ${artwork || 'choose artwork'}`}
        >
          {(close) => (
            <ArtworkSheet
              fonts={lists?.fonts ?? []}
              onSource={(picked) => {
                close();
                onSource(picked);
              }}
            />
          )}
        </Slip>
        , {fill(size)}{' '}
        {size.sheet.kind === 'amount' && size.sheet.value !== null && (
          <small class="in">{lengthAside(size.sheet.value, units)}</small>
        )}{' '}
        {isByWidth(size) ? 'wide' : 'tall'}, on {fill(capsBlank(source))} × {fill(capBlank(source))}
        , in the {fill(mountBlank(source))},{' '}
        <PlateBlank
          job={job}
          lists={lists}
          units={units}
          change={change}
          isWrong={faultKey === 'bench.raise_mm' || faultKey === 'bench.packing_mm'}
        />
        , needle {fill(needleBlank(source))}, at {fill(speedBlank(source))} a minute.{' '}
        <button
          type="button"
          class="quiet more-of"
          aria-expanded={isMore}
          onClick={() => setMore(!isMore)}
        >
          {isMore ? 'less' : 'more of the ticket'}
        </button>
      </p>
      {isMore && (
        <p class="sentence rest">
          {rest.map(({ before, blank }) => (
            <span key={blank.name}>
              {/^[;,.]/.test(before) ? before : ` ${before}`} {fill(blank)}
            </span>
          ))}
          .
        </p>
      )}
      {fault && (
        <div id="ticket-fault" class="fault" role="alert">
          <p>
            <b>{fault.what}</b> {fault.where && <span class="where">{fault.where}</span>}
          </p>
          {fault.hint && <p>{fault.hint}</p>}
        </div>
      )}
    </section>
  );
}
