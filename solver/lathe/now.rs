//! What is on the machine: the fitted set-up, or what a job has left on it?

use super::{Control, Fitted, Lathe, Setting};
use crate::Train;

impl Lathe {
    /// What is on it: the set-up that was put on ([`crate::now::put_on`]), else the fitted one. Every
    /// change of gears starts from it. `None`: nobody has said.
    pub fn on_now(&self) -> Option<&Fitted> {
        self.now.as_ref().or(self.parts.fitted.as_ref())
    }

    /// What is on it, where that is not the fitted set-up.
    pub const fn not_as_fitted(&self) -> Option<&Fitted> {
        self.now.as_ref()
    }

    /// The same lathe with the fitted set-up on it.
    #[must_use]
    pub fn as_fitted(self) -> Self {
        Self { now: None, ..self }
    }

    /// The same lathe with a set-up that [`Lathe::set_up_after`] made of a search's own answer.
    #[must_use]
    pub fn holding(self, now: Fitted) -> Self {
        self.with(now)
    }

    /// The same lathe with a set-up that was checked.
    pub(crate) fn with(self, now: Fitted) -> Self {
        let is_fitted = self.parts.fitted.as_ref().is_some_and(|fitted| {
            let is_at =
                |control| self.position_in(fitted, control) == self.position_in(&now, control);
            fitted.train == now.train && self.controls().all(is_at)
        });
        Self { now: (!is_fitted).then_some(now), ..self }
    }

    /// The set-up on it once a train with its setting is on; a control that is free there stays as it
    /// is.
    ///
    /// ```
    /// use solver::{Fitted, Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel, Turns};
    /// let mut gears = GearSet::new();
    /// for teeth in [20, 40, 60] {
    ///     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
    /// }
    /// let mut parts = Parts::plain(gears, Lead::from_tpi("8".parse()?)?);
    /// parts.tumbler = vec![("up".into(), Turns::Same), ("down".into(), Turns::Opposite)];
    /// let mut fitted = Fitted::new("20-60".parse()?, Vec::new());
    /// fitted.tumbler = Some("up".into());
    /// parts.fitted = Some(fitted);
    /// let lathe = Lathe::new(parts)?;
    /// let setting = lathe.settings(Travel::Thread)?.list.remove(0);
    /// let after = |tumbler| lathe.set_up_after(&"20-40".parse().unwrap(), &setting, tumbler);
    /// assert_eq!(after(Some(1)).tumbler.as_deref(), Some("down"));
    /// assert_eq!(after(None).tumbler.as_deref(), Some("up"));
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn set_up_after(&self, train: &Train, setting: &Setting, tumbler: Option<usize>) -> Fitted {
        let mut after = Fitted::new(train.clone(), Vec::new());
        for of in self.restored(setting, tumbler) {
            let Some(at) = of.job.or(of.now) else { continue };
            let name = self.position_name(of.control, at).to_owned();
            match of.control {
                Control::Headstock => after.headstock = Some(name),
                Control::Tumbler => after.tumbler = Some(name),
                Control::Lever(_) => {
                    after.levers.push((self.control_name(of.control).to_owned(), name));
                }
            }
        }
        after
    }
}
