// Where a job's stitches come from: a file, or lettering typed in.
import { useId, useRef, useState } from 'preact/hooks';
import { api } from '../api';
import { faultFrom } from '../state/use_job';
import type { Artwork, Ask, Fault } from '../types';
import { tomlOf } from '../words/changes';
import { FaultNote } from './FaultNote';

/** Ends of the names of files that can be planned. */
export const kReads = '.svg';

export interface Source {
  /** Artwork takes the place of lettering, and the other way round. */
  asked: Ask;
  words: string;
}

const kLettering = ['artwork.text', 'artwork.font'];

export function fileSource(artwork: Artwork): Source {
  return { asked: { artwork: artwork.artwork, unset: kLettering }, words: artwork.name };
}

export function letteringSource(text: string, font: string): Source {
  const set = [`artwork.text=${tomlOf(text)}`];
  if (font) set.push(`artwork.font=${tomlOf(font)}`);
  return { asked: { artwork: '', set }, words: `“${text.split('\n')[0]}”` };
}

interface Props {
  fonts: string[];
  onSource: (source: Source) => void;
}

export function ArtworkSheet({ fonts, onSource }: Props) {
  const [fault, setFault] = useState<Fault | null>(null);
  const [isSending, setSending] = useState(false);
  const input = useRef<HTMLInputElement>(null);
  const take = async (file: File | undefined) => {
    if (!file) return;
    setSending(true);
    setFault(null);
    try {
      onSource(fileSource(await api.upload(file)));
    } catch (error) {
      setFault(faultFrom(error));
    }
    setSending(false);
  };
  return (
    <div class="artwork-sheet">
      <p>Drop a file anywhere on the page, or</p>
      <input
        ref={input}
        class="file-input"
        type="file"
        tabIndex={-1}
        aria-label="Artwork file"
        accept={kReads}
        onChange={(event) => void take(event.currentTarget.files?.[0])}
      />
      <button type="button" class="btn" disabled={isSending} onClick={() => input.current?.click()}>
        {isSending ? 'Reading it' : 'Choose a file'}
      </button>
      <p class="note">An SVG drawing, 16 MiB at most.</p>
      {fault && <FaultNote fault={fault} />}
      <Lettering fonts={fonts} onSource={onSource} />
    </div>
  );
}

function Lettering({ fonts, onSource }: Props) {
  const [text, setText] = useState('');
  const [font, setFont] = useState('');
  const id = useId();
  return (
    <form
      class="lettering"
      onSubmit={(event) => {
        event.preventDefault();
        if (text.trim()) onSource(letteringSource(text, font.trim()));
      }}
    >
      <label for={`${id}-text`}>or type lettering; each line is centred</label>
      <textarea
        id={`${id}-text`}
        rows={2}
        maxLength={400}
        value={text}
        onInput={(event) => setText(event.currentTarget.value)}
      />
      <label for={`${id}-font`}>in the font</label>
      <input
        id={`${id}-font`}
        type="text"
        list={`${id}-fonts`}
        placeholder="Roboto:bold"
        value={font}
        onInput={(event) => setFont(event.currentTarget.value)}
      />
      <datalist id={`${id}-fonts`}>
        {fonts.map((each) => (
          <option key={each} value={each} />
        ))}
      </datalist>
      <button type="submit" class="btn" disabled={!text.trim()}>
        Sew this lettering
      </button>
    </form>
  );
}
