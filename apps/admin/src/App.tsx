import { QueryClient } from '@tanstack/react-query';
import { lazy } from 'react';
import { Admin, CustomRoutes, Resource, memoryStore } from 'react-admin';
import { Route } from 'react-router';
import { authProvider } from './access/authProvider.js';
import { dataProvider } from './access/dataProvider.js';
import { OutlookPage } from './outlook/OutlookPage.js';
import { HouseLayout } from './shell/HouseLayout.js';
import { NotHere, NotYours } from './shell/strays.js';
import { SignInPage } from './shell/SignInPage.js';
import { theme } from './shell/theme.js';
import { i18nProvider } from './shell/words.js';

// Sign-in and Outlook come with the first file; every other room is fetched when it is first entered.
const SiteList = lazy(() => import('./fleet/sites/SiteList.js'));
const SitePage = lazy(() => import('./fleet/sites/SitePage.js'));
const SiteCreate = lazy(() => import('./fleet/sites/SiteForms.js').then(({ SiteCreate: page }) => ({ default: page })));
const SiteEdit = lazy(() => import('./fleet/sites/SiteForms.js').then(({ SiteEdit: page }) => ({ default: page })));
const ZoneCreate = lazy(() => import('./fleet/zones/ZoneForms.js').then(({ ZoneCreate: page }) => ({ default: page })));
const ZoneEdit = lazy(() => import('./fleet/zones/ZoneForms.js').then(({ ZoneEdit: page }) => ({ default: page })));
const DoorList = lazy(() => import('./fleet/doors/DoorList.js'));
const DoorPage = lazy(() => import('./fleet/doors/DoorPage.js'));
const DoorCreate = lazy(() => import('./fleet/doors/DoorForms.js').then(({ DoorCreate: page }) => ({ default: page })));
const DoorEdit = lazy(() => import('./fleet/doors/DoorForms.js').then(({ DoorEdit: page }) => ({ default: page })));
const OwnerList = lazy(() => import('./fleet/owners/OwnerList.js'));
const OwnerCreate = lazy(() => import('./fleet/owners/OwnerForms.js').then(({ OwnerCreate: page }) => ({ default: page })));
const OwnerEdit = lazy(() => import('./fleet/owners/OwnerForms.js').then(({ OwnerEdit: page }) => ({ default: page })));
const DoorTypeList = lazy(() => import('./fleet/doorTypes/DoorTypeList.js'));
const DoorTypePage = lazy(() => import('./fleet/doorTypes/DoorTypePage.js'));
const DoorTypeCreate = lazy(() => import('./fleet/doorTypes/DoorTypeForms.js').then(({ DoorTypeCreate: page }) => ({ default: page })));
const DoorTypeEdit = lazy(() => import('./fleet/doorTypes/DoorTypeForms.js').then(({ DoorTypeEdit: page }) => ({ default: page })));
const PositionCreate = lazy(() => import('./fleet/doorTypes/PositionForms.js').then(({ PositionCreate: page }) => ({ default: page })));
const PositionEdit = lazy(() => import('./fleet/doorTypes/PositionForms.js').then(({ PositionEdit: page }) => ({ default: page })));
const FaultsPage = lazy(() => import('./faults/FaultsPage.js'));
const FaultCodeList = lazy(() => import('./faults/FaultCodeList.js'));
const FaultCodeCreate = lazy(() => import('./faults/FaultCodeForms.js').then(({ FaultCodeCreate: page }) => ({ default: page })));
const FaultCodeEdit = lazy(() => import('./faults/FaultCodeForms.js').then(({ FaultCodeEdit: page }) => ({ default: page })));
const ReadingList = lazy(() => import('./duty/ReadingList.js'));
const ImportList = lazy(() => import('./duty/ImportList.js'));
const ImportCreate = lazy(() => import('./duty/ImportCreate.js'));
const ImportPage = lazy(() => import('./duty/ImportPage.js'));
const DueList = lazy(() => import('./upkeep/DueList.js'));
const PlanList = lazy(() => import('./upkeep/PlanList.js'));
const PlanPage = lazy(() => import('./upkeep/PlanPage.js'));
const PlanCreate = lazy(() => import('./upkeep/PlanForms.js').then(({ PlanCreate: page }) => ({ default: page })));
const PlanEdit = lazy(() => import('./upkeep/PlanForms.js').then(({ PlanEdit: page }) => ({ default: page })));
const TaskCreate = lazy(() => import('./upkeep/TaskForms.js').then(({ TaskCreate: page }) => ({ default: page })));
const TaskEdit = lazy(() => import('./upkeep/TaskForms.js').then(({ TaskEdit: page }) => ({ default: page })));
const AccountList = lazy(() => import('./people/AccountList.js'));
const AccountCreate = lazy(() => import('./people/AccountForms.js').then(({ AccountCreate: page }) => ({ default: page })));
const AccountEdit = lazy(() => import('./people/AccountForms.js').then(({ AccountEdit: page }) => ({ default: page })));
const WearModelList = lazy(() => import('./wear/WearModelList.js'));
const WearModelPage = lazy(() => import('./wear/WearModelPage.js'));
const WorkPage = lazy(() => import('./work/WorkPage.js'));
const OrderPage = lazy(() => import('./work/OrderPage.js'));
const OrderCreate = lazy(() => import('./work/OrderForms.js').then(({ OrderCreate: page }) => ({ default: page })));
const OrderEdit = lazy(() => import('./work/OrderForms.js').then(({ OrderEdit: page }) => ({ default: page })));
const ManualList = lazy(() => import('./work/manuals/ManualList.js'));
const ManualCreate = lazy(() => import('./work/manuals/ManualForms.js').then(({ ManualCreate: page }) => ({ default: page })));
const ManualEdit = lazy(() => import('./work/manuals/ManualForms.js').then(({ ManualEdit: page }) => ({ default: page })));
const CompliancePage = lazy(() => import('./safety/CompliancePage.js'));
const FindingList = lazy(() => import('./safety/FindingList.js'));
const FindingPage = lazy(() => import('./safety/FindingPage.js'));
const CertificateList = lazy(() => import('./safety/CertificateList.js'));
const CertificatePage = lazy(() => import('./safety/CertificatePage.js'));
const CertificateKeyList = lazy(() => import('./safety/CertificateKeyList.js'));
const InstrumentList = lazy(() => import('./safety/InstrumentList.js'));
const InstrumentPage = lazy(() => import('./safety/InstrumentPage.js'));
const InstrumentCreate = lazy(() => import('./safety/InstrumentForms.js').then(({ InstrumentCreate: page }) => ({ default: page })));
const InstrumentEdit = lazy(() => import('./safety/InstrumentForms.js').then(({ InstrumentEdit: page }) => ({ default: page })));
const CompetenceList = lazy(() => import('./safety/CompetenceList.js'));
const ForceLimitsPage = lazy(() => import('./safety/ForceLimitsPage.js'));
const DeviceChecksPage = lazy(() => import('./safety/DeviceChecksPage.js'));
const RoutePlanList = lazy(() => import('./routes/RoutePlanList.js'));
const RoutePlanPage = lazy(() => import('./routes/RoutePlanPage.js'));
const TechnicianList = lazy(() => import('./routes/TechnicianList.js'));
const TechnicianPage = lazy(() => import('./routes/TechnicianPage.js'));
const TechnicianCreate = lazy(() => import('./routes/TechnicianForms.js').then(({ TechnicianCreate: page }) => ({ default: page })));
const TechnicianEdit = lazy(() => import('./routes/TechnicianForms.js').then(({ TechnicianEdit: page }) => ({ default: page })));
const VisitList = lazy(() => import('./routes/VisitList.js'));
const TravelPage = lazy(() => import('./routes/TravelPage.js'));
const StockPage = lazy(() => import('./stock/StockPage.js'));
const StockPartPage = lazy(() => import('./stock/StockPartPage.js'));
const StockPartCreate = lazy(() => import('./stock/StockPartForms.js').then(({ StockPartCreate: page }) => ({ default: page })));
const StockPartEdit = lazy(() => import('./stock/StockPartForms.js').then(({ StockPartEdit: page }) => ({ default: page })));
const VanStockList = lazy(() => import('./stock/VanStockList.js'));
const JobList = lazy(() => import('./jobs/JobList.js'));
const LedgerList = lazy(() => import('./ledger/LedgerList.js'));
const LogBookPage = lazy(() => import('./ledger/LogBookPage.js'));

const queryClient = new QueryClient({
  defaultOptions: { queries: { retry: 1, staleTime: 0, refetchOnWindowFocus: true, networkMode: 'always' }, mutations: { networkMode: 'always' } },
});
// Nothing about a list outlives the page: the next person at this desk starts afresh.
const store = memoryStore();

/** The admin: every page by its room. */
export function App() {
  return (
    <Admin
      authProvider={authProvider}
      catchAll={NotHere}
      accessDenied={NotYours}
      dashboard={OutlookPage}
      dataProvider={dataProvider}
      disableTelemetry
      i18nProvider={i18nProvider}
      layout={HouseLayout}
      loginPage={SignInPage}
      queryClient={queryClient}
      requireAuth
      store={store}
      theme={theme}
      darkTheme={null}
      title="Lintel"
    >
      <Resource name="sites" list={SiteList} show={SitePage} create={SiteCreate} edit={SiteEdit} recordRepresentation="name" />
      <Resource name="zones" create={ZoneCreate} edit={ZoneEdit} recordRepresentation="name" />
      <Resource name="doors" list={DoorList} show={DoorPage} create={DoorCreate} edit={DoorEdit} recordRepresentation="name" />
      <Resource name="owners" list={OwnerList} create={OwnerCreate} edit={OwnerEdit} recordRepresentation="name" />
      <Resource name="door-types" list={DoorTypeList} show={DoorTypePage} create={DoorTypeCreate} edit={DoorTypeEdit} recordRepresentation="name" />
      <Resource name="positions" create={PositionCreate} edit={PositionEdit} recordRepresentation="name" />
      <Resource name="faults" list={FaultsPage} />
      <Resource name="fault-codes" list={FaultCodeList} create={FaultCodeCreate} edit={FaultCodeEdit} recordRepresentation="name" />
      <Resource name="readings" list={ReadingList} />
      <Resource name="imports" list={ImportList} create={ImportCreate} show={ImportPage} />
      <Resource name="due-items" list={DueList} />
      <Resource name="plans" list={PlanList} show={PlanPage} create={PlanCreate} edit={PlanEdit} recordRepresentation="name" />
      <Resource name="tasks" create={TaskCreate} edit={TaskEdit} recordRepresentation="name" />
      <Resource name="accounts" list={AccountList} create={AccountCreate} edit={AccountEdit} recordRepresentation="name" />
      <Resource name="wear-models" list={WearModelList} show={WearModelPage} recordRepresentation="positionName" />
      <Resource name="work-orders" list={WorkPage} show={OrderPage} create={OrderCreate} edit={OrderEdit} recordRepresentation="title" />
      <Resource name="manuals" list={ManualList} create={ManualCreate} edit={ManualEdit} recordRepresentation="title" />
      <Resource name="compliance" list={CompliancePage} />
      <Resource name="findings" list={FindingList} show={FindingPage} recordRepresentation="text" />
      <Resource name="certificates" list={CertificateList} show={CertificatePage} recordRepresentation="number" />
      <Resource name="certificate-keys" list={CertificateKeyList} />
      <Resource name="instruments" list={InstrumentList} show={InstrumentPage} create={InstrumentCreate} edit={InstrumentEdit} recordRepresentation="name" />
      <Resource name="competences" list={CompetenceList} recordRepresentation="accountName" />
      <Resource name="force-limits" list={ForceLimitsPage} />
      <Resource name="route-plans" list={RoutePlanList} show={RoutePlanPage} recordRepresentation="name" />
      <Resource name="technicians" list={TechnicianList} show={TechnicianPage} create={TechnicianCreate} edit={TechnicianEdit} recordRepresentation="name" />
      <Resource name="visits" list={VisitList} />
      <Resource name="travel-times" list={TravelPage} />
      <Resource name="stock-parts" list={StockPage} show={StockPartPage} create={StockPartCreate} edit={StockPartEdit} recordRepresentation="name" />
      <Resource name="van-stock" list={VanStockList} />
      <Resource name="jobs" list={JobList} />
      <Resource name="ledger" list={LedgerList} />
      <CustomRoutes>
        <Route path="/device-checks" element={<DeviceChecksPage />} />
        <Route path="/outlook" element={<OutlookPage />} />
        <Route path="/doors/:id/log-book" element={<LogBookPage />} />
      </CustomRoutes>
    </Admin>
  );
}
