import { palette } from '@lintel/ui';
import { Alert, Box, Button } from '@mui/material';
import { useState } from 'react';
import type { ReactNode } from 'react';
import { CreateBase, EditBase, SaveButton, SimpleForm, Toolbar, useDelete, useEditContext, useNotify, useRecordContext, useRedirect, useUpdate } from 'react-admin';
import type { RaRecord } from 'react-admin';
import { useNavigate } from 'react-router';
import { refusalOf } from '../access/http.js';
import { PageHead } from './Page.js';
import { StaleComparison } from './StaleComparison.js';
import type { Stale } from './StaleComparison.js';
import { Trouble, Waiting } from './faces.js';

type Way = (resource: string | undefined, id: RaRecord['id'] | undefined, data: Partial<RaRecord> | undefined) => string;

interface EditPageProps {
  resource: string;
  heading: (record: RaRecord) => string;
  up: (record: RaRecord) => { to: string; word: string };
  /** Where to go once it is saved or archived. */
  then: Way;
  /** What archiving means here; left out: cannot be archived. */
  archiving?: string;
  validate?: (values: Record<string, unknown>) => Record<string, unknown>;
  /** The fields that the form holds; nothing else is ever sent. */
  fields: readonly string[];
  /** Last touch on the values before they are sent. */
  tidy?: (values: Record<string, unknown>) => Record<string, unknown>;
  children: ReactNode;
}

/** Changes one record: pessimistic, against the version that was opened; a stale save opens the comparison. */
export function EditPage(props: EditPageProps) {
  const [stale, setStale] = useState<Stale | null>(null);
  const [refusal, setRefusal] = useState<string | null>(null);
  const onError = (error: unknown, variables: { data?: Record<string, unknown>; previousData?: RaRecord }) => {
    const said = refusalOf(error);
    const current = said.problem?.current;
    if (said.status === 412 && current && variables.data && variables.previousData) {
      setStale({ mine: only(props.fields, variables.data), base: variables.previousData, current: current as RaRecord });
    } else {
      setRefusal(said.detail);
    }
  };
  return (
    <EditBase
      resource={props.resource}
      mutationMode="pessimistic"
      redirect={props.then}
      mutationOptions={{ onError }}
      transform={(data: RaRecord) => (props.tidy ?? asTheyAre)(only(props.fields, data))}
      queryOptions={{ refetchOnWindowFocus: false, refetchOnReconnect: false, retry: 1 }}
    >
      <EditFrame {...props} refusal={refusal} clear={() => setRefusal(null)} />
      {stale ? <StaleResolver stale={stale} then={props.then} resource={props.resource} close={() => setStale(null)} /> : null}
    </EditBase>
  );
}

const asTheyAre = (values: Record<string, unknown>) => values;

function only(fields: readonly string[], data: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(fields.filter((field) => field in data).map((field) => [field, data[field]]));
}

function EditFrame(props: EditPageProps & { refusal: string | null; clear: () => void }) {
  const { record, error, isPending, refetch } = useEditContext<RaRecord>();
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !record) return <Waiting />;
  return (
    <>
      <PageHead title={props.heading(record)} up={props.up(record)} />
      <Sheet refusal={props.refusal}>
        <SimpleForm
          warnWhenUnsavedChanges
          {...(props.validate ? { validate: props.validate } : {})}
          onChange={props.clear}
          toolbar={<EditToolbar then={props.then} archiving={props.archiving} resource={props.resource} />}
        >
          {props.children}
        </SimpleForm>
      </Sheet>
    </>
  );
}

function Sheet({ children, refusal }: { children: ReactNode; refusal: string | null }) {
  return (
    <Box sx={{ maxWidth: 820, background: palette.paper, border: `1px solid ${palette.line}`, borderRadius: '3px' }}>
      {refusal ? (
        <Alert severity="error" sx={{ margin: 2, marginBottom: 0 }}>
          {refusal}
        </Alert>
      ) : null}
      {children}
    </Box>
  );
}

const toolbarStyle = { background: palette.frost, borderTop: `1px solid ${palette.line}`, gap: 1, paddingBlock: 1 } as const;

function EditToolbar({ then, archiving, resource }: { then: Way; archiving: string | undefined; resource: string }) {
  const navigate = useNavigate();
  const record = useRecordContext();
  return (
    <Toolbar sx={toolbarStyle}>
      <SaveButton icon={<></>} label="Save" />
      <Button onClick={() => void navigate(-1)}>Leave it</Button>
      <Box sx={{ flex: 1 }} />
      {archiving && record ? <ArchiveButton record={record} resource={resource} meaning={archiving} then={then} /> : null}
    </Toolbar>
  );
}

function ArchiveButton({ record, resource, meaning, then }: { record: RaRecord; resource: string; meaning: string; then: Way }) {
  const [sure, setSure] = useState(false);
  const [refusal, setRefusal] = useState<string | null>(null);
  const [archive, { isPending }] = useDelete(undefined, undefined, { mutationMode: 'pessimistic' });
  const notify = useNotify();
  const redirect = useRedirect();
  const confirm = () =>
    archive(
      resource,
      { id: record.id, previousData: record },
      {
        onError: (error: unknown) => setRefusal(refusalOf(error).detail),
        onSuccess: () => {
          notify('Archived', { type: 'success' });
          redirect(then, resource, record.id, record);
        },
      },
    );
  if (!sure) return <Button onClick={() => setSure(true)}>Archive…</Button>;
  return (
    <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: 1, alignItems: 'center', justifyContent: 'flex-end' }}>
      <span>{refusal ?? meaning}</span>
      <Button variant="outlined" color="error" onClick={() => void confirm()} disabled={isPending}>
        Archive it
      </Button>
    </Box>
  );
}

function StaleResolver({ stale, then, resource, close }: { stale: Stale; then: Way; resource: string; close: () => void }) {
  const [update] = useUpdate();
  const [again, setAgain] = useState<Stale>(stale);
  const [refusal, setRefusal] = useState<string | null>(null);
  const { refetch } = useEditContext();
  const notify = useNotify();
  const redirect = useRedirect();
  const save = (data: Record<string, unknown>, current: RaRecord) =>
    update(
      resource,
      { id: current.id, data, previousData: current },
      {
        mutationMode: 'pessimistic',
        onSuccess: (saved: RaRecord) => {
          notify('Saved', { type: 'success' });
          close();
          redirect(then, resource, current.id, saved);
        },
        onError: (error: unknown) => {
          const said = refusalOf(error);
          if (said.status === 412 && said.problem?.current) setAgain({ ...again, current: said.problem.current as RaRecord });
          setRefusal(said.detail);
        },
      },
    );
  const reload = () => {
    close();
    void refetch();
  };
  return <StaleComparison key={JSON.stringify(again.current['version'])} stale={again} onSave={(data, current) => void save(data, current)} onReload={reload} onClose={close} refusal={refusal} />;
}

interface CreatePageProps {
  resource: string;
  heading: string;
  up: { to: string; word: string };
  then: Way;
  defaults?: Record<string, unknown>;
  validate?: (values: Record<string, unknown>) => Record<string, unknown>;
  tidy?: (values: Record<string, unknown>) => Record<string, unknown>;
  children: ReactNode;
}

/** Makes one record; the server's refusals are shown at their fields and above the form. */
export function CreatePage({ resource, heading, up, then, defaults = {}, validate, tidy = asTheyAre, children }: CreatePageProps) {
  const [refusal, setRefusal] = useState<string | null>(null);
  const navigate = useNavigate();
  return (
    <CreateBase
      resource={resource}
      redirect={then}
      transform={tidy}
      mutationOptions={{ onError: (error: unknown) => setRefusal(refusalOf(error).detail) }}
    >
      <PageHead title={heading} up={up} />
      <Sheet refusal={refusal}>
        <SimpleForm
          warnWhenUnsavedChanges
          defaultValues={defaults}
          {...(validate ? { validate } : {})}
          onChange={() => setRefusal(null)}
          toolbar={
            <Toolbar sx={toolbarStyle}>
              <SaveButton icon={<></>} label="Save" alwaysEnable />
              <Button onClick={() => void navigate(-1)}>Leave it</Button>
            </Toolbar>
          }
        >
          {children}
        </SimpleForm>
      </Sheet>
    </CreateBase>
  );
}
