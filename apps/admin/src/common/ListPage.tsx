import type { Resource } from '@lintel/contract';
import { Button } from '@mui/material';
import type { ReactNode } from 'react';
import type { RaRecord } from 'react-admin';
import { Link } from 'react-router';
import { useMay } from '../access/hooks.js';
import { PageHead } from './Page.js';
import { RecordList } from './RecordList.js';
import type { RecordListProps } from './RecordList.js';

interface ListPageProps<R extends RaRecord> extends Omit<RecordListProps<R>, 'resource' | 'label'> {
  resource: Resource;
  title: string;
  /** What the table is called, where that is not the page's title. */
  label?: string;
  up?: { to: string; word: string };
  facts?: ReactNode;
  actions?: ReactNode;
  /** Words of the button to the form for a new record; drawn in the head and where the list is empty, for whoever may write. */
  add?: string;
}

/** A page that is one list: its head, what can be added, and the rows. */
export function ListPage<R extends RaRecord>({ title, label = title, up, facts, actions, add, empty, ...list }: ListPageProps<R>) {
  const { resource } = list;
  const mayAdd = useMay('write', resource);
  const button = add !== undefined && mayAdd ? (
    <Button component={Link} to={`/${resource}/create`} variant="contained">
      {add}
    </Button>
  ) : null;
  return (
    <>
      <PageHead title={title} up={up} facts={facts} actions={actions ?? button} />
      <RecordList<R> {...list} label={label} empty={{ action: button, ...empty }} />
    </>
  );
}
