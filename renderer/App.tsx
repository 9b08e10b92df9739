import { useEffect } from 'react';
import { Route, Router, Switch, useLocation } from 'wouter';
import { useHashLocation } from 'wouter/use-hash-location';
import { ConnectionLost, NotConnected } from './components/ConnectionState.tsx';
import { Notices } from './components/Notices.tsx';
import { SpokenPrompts } from './components/SpokenPrompts.tsx';
import { DecisionScreen } from './screens/decision/DecisionScreen.tsx';
import { FindingsScreen } from './screens/findings/FindingsScreen.tsx';
import { NewVehicleScreen } from './screens/garage/NewVehicleScreen.tsx';
import { VehicleScreen } from './screens/garage/VehicleScreen.tsx';
import { VehiclesScreen } from './screens/garage/VehiclesScreen.tsx';
import { InspectionScreen } from './screens/inspection/InspectionScreen.tsx';
import { IntakeScreen } from './screens/intake/IntakeScreen.tsx';
import { KeepingScreen } from './screens/keeping/KeepingScreen.tsx';
import { LiveScreen } from './screens/live/LiveScreen.tsx';
import { ReportScreen } from './screens/report/ReportScreen.tsx';
import { CompareScreen } from './screens/returning/CompareScreen.tsx';
import { DueScreen } from './screens/returning/DueScreen.tsx';
import { RoadCardScreen } from './screens/road-card/RoadCardScreen.tsx';
import { SettingsScreen } from './screens/settings/SettingsScreen.tsx';
import { SetupScreen } from './screens/setup/SetupScreen.tsx';
import { VisitScreen } from './screens/visit/VisitScreen.tsx';
import { useApp } from './store/context.ts';

export function App() {
  const theme = useApp((s) => s.theme);
  const known = useApp((s) => s.live !== null);
  useEffect(() => {
    document.documentElement.dataset.theme = theme;
  }, [theme]);

  if (!known) return <NotConnected />;
  return (
    <>
      <Router hook={useHashLocation}>
        <ScrollUp />
        <Switch>
          <Route path="/">
            <VehiclesScreen />
          </Route>
          <Route path="/vehicles/new">
            <NewVehicleScreen />
          </Route>
          <Route path="/vehicles/:id/compare/:earlier/:later">
            {({ id, earlier, later }) => (
              <CompareScreen
                vehicleId={Number(id)}
                earlierVisitId={Number(earlier)}
                laterVisitId={Number(later)}
              />
            )}
          </Route>
          <Route path="/due">
            <DueScreen />
          </Route>
          <Route path="/keeping">
            <KeepingScreen />
          </Route>
          <Route path="/vehicles/:id">{({ id }) => <VehicleScreen key={id} vehicleId={Number(id)} />}</Route>
          <Route path="/setup/:visitId?">
            {({ visitId }) => <SetupScreen visitId={visitId ? Number(visitId) : null} />}
          </Route>
          <Route path="/live">
            <LiveScreen />
          </Route>
          <Route path="/visits/:id/findings">
            {({ id }) => <FindingsScreen key={id} visitId={Number(id)} />}
          </Route>
          <Route path="/visits/:id/intake">
            {({ id }) => <IntakeScreen key={id} visitId={Number(id)} />}
          </Route>
          <Route path="/visits/:id/road">
            {({ id }) => <RoadCardScreen key={id} visitId={Number(id)} />}
          </Route>
          <Route path="/visits/:id/inspection">
            {({ id }) => <InspectionScreen key={id} visitId={Number(id)} />}
          </Route>
          <Route path="/visits/:id/decision">
            {({ id }) => <DecisionScreen key={id} visitId={Number(id)} />}
          </Route>
          <Route path="/visits/:id/report">
            {({ id }) => <ReportScreen key={id} visitId={Number(id)} />}
          </Route>
          <Route path="/settings">
            <SettingsScreen />
          </Route>
          <Route path="/visits/:id">{({ id }) => <VisitScreen key={id} visitId={Number(id)} />}</Route>
          <Route>
            <VehiclesScreen />
          </Route>
        </Switch>
      </Router>
      <ConnectionLost />
      <Notices />
      <SpokenPrompts />
    </>
  );
}

/** Every screen begins at its top. */
function ScrollUp() {
  const [location] = useLocation();
  // biome-ignore lint/correctness/useExhaustiveDependencies: another screen is what it is for
  useEffect(() => void scrollTo(0, 0), [location]);
  return null;
}
