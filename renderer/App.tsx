import { useEffect } from 'react';
import { Route, Router, Switch } from 'wouter';
import { useHashLocation } from 'wouter/use-hash-location';
import { Connecting, ConnectionLost } from './components/ConnectionState.tsx';
import { Notices } from './components/Notices.tsx';
import { LiveScreen } from './screens/live/LiveScreen.tsx';
import { useApp } from './store/context.ts';

export function App() {
  const theme = useApp((s) => s.theme);
  const connection = useApp((s) => s.connection);
  const known = useApp((s) => s.live !== null);
  useEffect(() => {
    document.documentElement.dataset.theme = theme;
  }, [theme]);

  if (!known) return connection === 'lost' ? <ConnectionLost /> : <Connecting />;
  return (
    <>
      <Router hook={useHashLocation}>
        <Switch>
          <Route>
            <LiveScreen />
          </Route>
        </Switch>
      </Router>
      {connection === 'lost' && <ConnectionLost />}
      <Notices />
    </>
  );
}
