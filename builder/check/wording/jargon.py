"""Words of the trade that visitors cannot be expected to know, each with what to say instead.

The list is our own. A word that a museum wants to teach belongs in its glossary, and is then no longer reported.
"""

from __future__ import annotations

_ENTRIES = """
abdominal: of the belly; abiotic: not living; aestivation: summer sleep; allopatric: living apart; alula: thumb
feathers; anterior: in front; aposematic: coloured as a warning; appendage: limb; arboreal: living in trees;
auricular: of the ear; autotomy: shedding of a limb or tail; avifauna: the birds of a place; axillary: of the armpit;
basal: at the base; benthic: living on the bottom; bifurcate: forked; binomial: two-part name; biomass: weight of
living matter; biota: living things; biotope: kind of place; brachial: of the arm; buccal: of the mouth or cheek;
byssus: anchoring threads; calcareous: of lime; carapace: shield of the back; carnassial: shearing cheek tooth;
carpal: wrist bone; caudal: of the tail; cephalic: of the head; cervical: of the neck; chelicerae: fangs and their
bases; chitin: the stuff of insects' shells; chitinous: of the stuff of insects' shells; clade: branch of the family
tree; cladistic: by branches of the family tree; cloaca: the one opening of the rear; commensal: living with another
without harm; congener: close relative; congeneric: of the same genus; conspecific: of the same species; coprophagy:
eating of droppings; coracoid: shoulder bone; coverts: small feathers over the quills; cranial: of the skull; cranium:
skull; crepuscular: active at dusk; culmen: ridge of the bill; cuticle: outer skin; dentary: bone of the lower jaw;
dentition: set of teeth; diapause: pause in growth; diastema: gap between the teeth; dimorphic: of two forms;
dimorphism: difference in form; distal: far from the body; diurnal: active by day; dorsal: of the back; ecdysis:
moult; ectoparasite: parasite on the skin; ectothermic: warmed from outside; elytra: wing cases; endemic: found
nowhere else; endoparasite: parasite inside the body; endothermic: warmed from inside; epidermis: outer skin;
epiphyte: plant growing on another; exoskeleton: outer shell; exuviae: shed skins; femur: thigh bone; fibula: outer
bone of the lower leg; folivore: leaf-eater; foramen: opening in a bone; fossorial: digging; frugivore: fruit-eater;
frugivorous: fruit-eating; fusiform: shaped like a spindle; gastrolith: stomach stone; granivorous: seed-eating;
gular: of the throat; haemolymph: insects' blood; hallux: hind toe; hemipenes: paired organs of the male;
heterospecific: of another species; holotype: the one specimen that fixes the name; humerus: upper arm bone; hyoid:
tongue bone; hypertrophied: overgrown; ilium: hip bone; indurated: hardened; infraorbital: below the eye;
insectivorous: insect-eating; integument: skin; interspecific: between species; intraspecific: within a species;
invertebrate: animal without a backbone; kleptoparasitism: stealing of food; labial: of the lips; lamellae: thin
plates; larynx: voice box; lateral: of the side; lectotype: specimen chosen later to fix the name; lingual: of the
tongue; mandible: lower jaw; mandibular: of the lower jaw; manus: hand; maxilla: upper jaw; maxillary: of the upper
jaw; medial: towards the middle; melanistic: dark through and through; metabarcoding: naming species from DNA in one
sample; metacarpal: hand bone; metatarsal: foot bone; morphological: of form; morphology: form; mustelid: of the
weasel family; nares: nostrils; neotype: specimen that replaces a lost one; nictitating: (of the eyelid) drawn
sideways; nidicolous: staying in the nest; nidifugous: leaving the nest at once; nocturnal: active at night; nuchal:
of the nape; obligate: bound to; occipital: of the back of the head; ocular: of the eye; olfactory: of smell;
omnivorous: eating anything; ontogeny: growing up; operculum: gill cover or lid; orbital: of the eye socket;
ornithological: of the study of birds; osteology: study of bones; oviparous: egg-laying; ovipositor: egg-laying tube;
palatal: of the palate; palmate: webbed; papillae: tiny bumps; paratype: second specimen of the description;
passerine: songbird; patagium: wing skin; patella: kneecap; pectoral: of the breast; pedicel: small stalk; pelage:
fur; pelagic: of the open sea; pelvic: of the hips; periodontal: about the teeth; phalanges: finger or toe bones;
phalanx: finger or toe bone; pharynx: throat; phylogenetic: of the family tree; phylogeny: family tree; pinna: outer
ear; pinnae: outer ears; piscivorous: fish-eating; planktonic: drifting; plantigrade: walking on the sole;
polymorphic: of several forms; posterior: behind; precocial: able to run at once; prehensile: grasping; premaxilla:
front bone of the upper jaw; proboscis: trunk or sucking tube; proventriculus: glandular stomach; proximal: near the
body; pterylosis: pattern of feathers; pygostyle: tail bone; radula: rasping tongue; rectrices: tail feathers;
remiges: flight feathers; rictal: at the gape; riparian: of river banks; rostral: of the snout; rostrum: snout;
ruminant: cud-chewer; sagittal: along the middle; sanguivorous: blood-drinking; scapula: shoulder blade; scapulars:
shoulder feathers; sclerite: hard plate; sclerotised: hardened; scutes: horny plates; semelparous: breeding once;
septum: dividing wall; sessile: fixed to one place; setae: stiff hairs; spatulate: shaped like a spoon; spermatheca:
the female's sperm store; sternal: of the breastbone; sternum: breastbone; stridulation: singing by rubbing;
subspecific: below the species; supraorbital: above the eye; sympatric: living side by side; syntype: one of the first
specimens; syrinx: birds' voice box; tarsal: of the ankle; tarsus: lower leg or foot; taxa: kinds; taxon: kind;
taxonomic: of naming and ordering; taxonomy: naming and ordering; tegmen: leathery forewing; tertials: inner wing
feathers; thoracic: of the chest; thorax: chest; tibia: shin bone; trophic: of feeding; tympanum: eardrum; ulna:
forearm bone; ungulate: hoofed animal; ventral: of the belly; vermiculated: with wavy lines; vibrissae: whiskers;
viviparous: bearing live young; volant: flying; xerophilous: liking dry places; zygodactyl: with two toes in front and
two behind; zygomatic: of the cheek
"""

PLAIN = dict(" ".join(entry.split()).split(": ", 1) for entry in _ENTRIES.split(";"))
"""Term to plain words."""

JARGON = {
    **PLAIN,
    **{f"{word}s": plain for word, plain in PLAIN.items() if not word.endswith(("s", "ae", "al", "ic", "ous", "ar"))},
}
"""The same with their plurals."""
