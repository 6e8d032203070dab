//! Where the references are from, in full.

/// A source of references.
#[derive(Clone, Copy, Debug)]
pub struct Source {
    /// Its key.
    pub key: &'static str,
    /// Author, title, year, where; libraries with their version.
    pub text: &'static str,
    /// By which words a row of published values is known to be of it.
    marks: &'static [&'static str],
}

const fn source(key: &'static str, text: &'static str) -> Source {
    Source {
        key,
        text,
        marks: &[],
    }
}

const fn publication(
    key: &'static str,
    text: &'static str,
    marks: &'static [&'static str],
) -> Source {
    Source { key, text, marks }
}

/// Key of a publication that stands in full in the row itself and nowhere here.
pub(crate) const AS_STATED: &str = "as_stated";

/// All of them.
pub const SOURCES: &[Source] = &[
    source(
        "iapws95",
        "IAPWS R6-95(2018), Revised Release on the IAPWS Formulation 1995 for the Thermodynamic \
         Properties of Ordinary Water Substance for General and Scientific Use, International \
         Association for the Properties of Water and Steam, 2018; evaluated with CoolProp 8.0.0 \
         (I. H. Bell, J. Wronski, S. Quoilin, V. Lemort, Industrial & Engineering Chemistry \
         Research 53(6), 2014), properties cross-checked with iapws 1.5.5",
    ),
    source(
        "iapws_viscosity",
        "IAPWS R12-08, Release on the IAPWS Formulation 2008 for the Viscosity of Ordinary Water \
         Substance, International Association for the Properties of Water and Steam, 2008; \
         evaluated with CoolProp 8.0.0, cross-checked with iapws 1.5.5",
    ),
    publication(
        "iapws95_points",
        "Points at which IAPWS R6-95 is to be verified by computer programs (its Table 7), each \
         value confirmed by an evaluation with CoolProp 8.0.0",
        &["IAPWS R6-95 Table 7"],
    ),
    publication(
        "iapws_viscosity_points",
        "Points at which IAPWS R12-08 is to be verified by computer programs (its Table 4, without \
         the critical term), each value confirmed by an evaluation with CoolProp 8.0.0",
        &["IAPWS R12-08 Table 4"],
    ),
    publication(
        "closed_form",
        "Closed form, evaluated apart from this program (Python, NumPy 2.4.6)",
        &["closed form"],
    ),
    source(
        "elastica_scipy",
        "Elastica of a heavy rod, clamped or hung by its ends, solved as a boundary value problem \
         with SciPy 1.17.1",
    ),
    source(
        "isentropic_nozzle",
        "Isentropic drop of enthalpy by IAPWS R6-95(2018), evaluated with CoolProp 8.0.0 and \
         SciPy 1.17.1",
    ),
    source(
        "incompressible_and_isentropic",
        "Incompressible law in closed form (NumPy 2.4.6) times the compressibility factor of the \
         isentropic drop of enthalpy by IAPWS R6-95(2018) (CoolProp 8.0.0)",
    ),
    source(
        "churchill",
        "S. W. Churchill, Friction-factor equation spans all fluid-flow regimes, Chemical \
         Engineering 84(24), 1977; evaluated with fluids 1.3.1, water by CoolProp 8.0.0",
    ),
    source(
        "colebrook",
        "C. F. Colebrook, Turbulent flow in pipes, with particular reference to the transition \
         region between the smooth and rough pipe laws, Journal of the Institution of Civil \
         Engineers 11(4), 1939; solved exactly (D. Clamond, Industrial & Engineering Chemistry \
         Research 48(7), 2009) with fluids 1.3.1, water by CoolProp 8.0.0",
    ),
    source(
        "wave_speed",
        "Modulus and density of water by IAPWS R6-95(2018) (CoolProp 8.0.0) in series with the \
         wall's modulus, wave speed and Joukowsky's rise of pressure in closed form (N. Joukowsky, \
         Ueber den hydraulischen Stoss in Wasserleitungsroehren, 1900)",
    ),
    source(
        "thick_tube",
        "Thick elastic tube in closed form (Lame), evaluated apart from this program",
    ),
    source(
        "slider_crank",
        "Kinematics of the slider crank, evaluated apart from this program at 72,000 angles of the \
         crank (NumPy 2.4.6)",
    ),
    source(
        "whole_system",
        "Steady point of pump, regulator, hoses and nozzle by root finding (SciPy 1.17.1): water by \
         IAPWS R6-95(2018) along the hose (CoolProp 8.0.0), friction after Churchill (fluids \
         1.3.1), isentropic nozzle",
    ),
    source(
        "lumped_line",
        "Volume of constant modulus filled or emptied through an opening that follows the root of \
         pressure: closed form, evaluated apart from this program",
    ),
    source(
        "lumped_line_scipy",
        "The same with a second opening and the pump on, integrated with SciPy 1.17.1",
    ),
    source(
        "allievi",
        "L. Allievi, Teoria del colpo d'ariete, 1913: interlocking equations of a valve that shuts, \
         and the method of characteristics on 200 reaches, evaluated apart from this program; both \
         agree to six digits",
    ),
    source(
        "tsnet",
        "tsnet 0.3.1 (L. Xing, L. Sela, Journal of Open Source Software 5(49), 2020), method of \
         characteristics",
    ),
    source(
        "characteristics",
        "Method of characteristics on 100 reaches with quasi-steady friction, evaluated apart from \
         this program (NumPy 2.4.6)",
    ),
    source(
        "impedance",
        "Impedance of a line, V = P/(rho a), and momentum of what leaves, in closed form, evaluated \
         apart from this program",
    ),
    source(
        "two_tools",
        "Steady point of a pump with two tools behind a tee by root finding (SciPy 1.17.1): water by \
         IAPWS R6-95(2018) (CoolProp 8.0.0), friction after Churchill (fluids 1.3.1), isentropic \
         nozzles",
    ),
    source(
        "stirred_tank",
        "Balance of enthalpy of a stirred tank by IAPWS R6-95(2018) (CoolProp 8.0.0), integrated \
         with the DOP853 method of SciPy 1.17.1",
    ),
    source(
        "astm_d341",
        "ASTM D341, Standard Practice for Viscosity-Temperature Equations and Charts for Liquid \
         Petroleum or Hydrocarbon Products, with its terms for thin liquids, evaluated apart from this \
         program; the grades are of ISO 3448, their viscosity at 100 degC by ASTM D2270 for an index \
         of 95 (chemicals 1.5.2, SciPy 1.17.1)",
    ),
    source(
        "exchangers",
        "F. P. Incropera, D. P. DeWitt, T. L. Bergman, A. S. Lavine, Fundamentals of Heat and Mass \
         Transfer, 6th edition, Wiley, 2007, counterflow exchanger; evaluated with ht 1.2.0",
    ),
    source(
        "suction_line",
        "Balance of heads on the suction side with the acceleration head in the form of the Hydraulic \
         Institute (ANSI/HI 6.1-6.5), by root finding (SciPy 1.17.1): density and boiling of water by \
         CoolProp 8.0.0, losses by fluids 1.3.1",
    ),
    source(
        "fine_characteristics",
        "Method of characteristics on 200 to 1,600 reaches with the mean friction of both ends, \
         carried on to infinitely many where there is friction; slow closures without friction \
         agree with Allievi's equations, first waves at joints with the rule of impedances; \
         evaluated apart from this program (NumPy 2.4.6)",
    ),
    source(
        "poppet",
        "Equations of a poppet on a lumped volume, integrated by the Radau method of SciPy 1.17.1; \
         stability by Routh's criterion",
    ),
    publication(
        "hand_lancing",
        "Guidance page of a contractor in the United Kingdom on hand lancing, which applies the \
         industry's code of practice (name of the company withheld)",
        &["guidance page on hand lancing"],
    ),
    publication(
        "usda_2002",
        "USDA Forest Service, San Dimas Technology and Development Center, 0251 1318-SDTDC, 2002, \
         https://www.fs.fed.us/eng/pubs/html/02511318/02511318.htm",
        &["0251 1318-SDTDC"],
    ),
    publication(
        "fire_engineering",
        "Fire Engineering, Fireground hydraulics in your head (nozzle reaction), \
         https://emberly.fireengineering.com/?p=206906",
        &["Fireground hydraulics in your head"],
    ),
    publication(
        "knapp_2006",
        "Knapp and others, Measuring and Demonstrating Nozzle Reaction, 2006, \
         https://firenotes.ca/Measuring_and_Demonstrating_Nozzle_Reaction",
        &["Knapp et al 2006"],
    ),
    publication(
        "injury_note",
        "Published note on injuries by water jets, hosted by a vendor (name withheld)",
        &["water-jetting injury note"],
    ),
    publication(
        "psa_norway",
        "Petroleum Safety Authority Norway, quoted at https://www.offshore-energy.biz/\
         psa-norway-calls-companies-to-find-solution-for-noise-problems/",
        &["Petroleum Safety Authority Norway"],
    ),
    publication(
        "niosh",
        "National Institute for Occupational Safety and Health (United States), recommended exposure \
         limit for noise, table of times, https://www.cdc.gov/niosh/topics/noise/app.html",
        &["National Institute for Occupational Safety and Health"],
    ),
];

/// The text of a key; the key itself where nobody knows it.
pub fn text(key: &'static str) -> &'static str {
    let found = SOURCES.iter().find(|s| s.key == key);
    found.map_or(key, |s| s.text)
}

/// Key and text of the publication that a row of published values names in its own words.
pub(crate) fn of_row(words: &str) -> (&'static str, String) {
    let known = |s: &&Source| s.marks.iter().any(|mark| words.contains(mark));
    match SOURCES.iter().find(known) {
        Some(source) => (source.key, source.text.to_owned()),
        None => (AS_STATED, words.to_owned()),
    }
}
